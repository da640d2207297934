#include "map/tag_reading.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <osmium/io/pbf_input.hpp>
#include <osmium/io/reader.hpp>
#include <osmium/osm/way.hpp>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>

using namespace waywarden;
using map::Grade;
using map::Tags;
using map::WayFacts;

TEST_SUITE("real") {
    namespace fs = std::filesystem;

    template <class Do> void each_highway(const fs::path& path, Do&& act) {
        osmium::io::Reader reader{path.string(), osmium::osm_entity_bits::way};
        while (const osmium::memory::Buffer buffer = reader.read())
            for (const osmium::Way& way : buffer.select<osmium::Way>()) {
                if (!way.tags().has_key("highway")) continue;
                std::vector<std::pair<std::string, std::string>> pairs;
                for (const osmium::Tag& tag : way.tags())
                    pairs.emplace_back(tag.key(), tag.value());
                act(way.id(), Tags(pairs));
            }
        reader.close();
    }

    TEST_CASE("every highway of the extracts is read, and every speed") {
        for (const auto& [file, region_name] : {std::pair{"rutland-2022", "england"},
                                                {"rutland-2018", "england"},
                                                {"liechtenstein-2021", "general"}}) {
            const fs::path path =
                fs::path(WAYWARDEN_SHARED_DATA) / "extracts" / (std::string(file) + ".osm.pbf");
            if (!fs::exists(path)) {
                MESSAGE("skipped: no " << path.string() << " here");
                continue;
            }
            const region::Region region = region::load(region_name);
            std::map<std::string, int> unreadable, rights;
            int ways = 0, with_speed = 0;
            each_highway(path, [&](std::int64_t, const Tags& tags) {
                const WayFacts read = map::read_way(tags, region);
                ++ways;
                ++rights[map::to_string(read.right.right)];
                if (tags.has("maxspeed")) ++with_speed;
                if (read.speed.unreadable) ++unreadable[read.speed.because];
                if (tags.has("maxspeed") && map::line_kind(tags) == map::LineKind::road)
                    CHECK(read.speed.grade == Grade::recorded);
            });
            std::string list;
            for (const auto& [right, count] : rights)
                list += fmt::format("{} {}, ", right, count);
            MESSAGE(std::string(file)
                    << ": " << ways << " ways, " << with_speed << " with maxspeed; " << list);
            for (const auto& [because, count] : unreadable)
                MESSAGE("unreadable: " << because << " (" << count << ")");
            CHECK(ways > 1000);
            CHECK(unreadable.empty());
        }
    }

    // Source: the table of default speed limits of the OSM wiki as data (revision 2607051). Its filters:
    // restricted road where lit=yes, else 60 mph; dual carriageway where dual_carriageway=yes or nsl_dual;
    // motorway by class.
    TEST_CASE("presumed limits against the wiki's table for GB") {
        const fs::path base = fs::path(WAYWARDEN_SHARED_DATA);
        std::ifstream in(base / "reference" / "osm_legal_default_speeds.json");
        const fs::path extract = base / "extracts" / "rutland-2022.osm.pbf";
        if (!in || !fs::exists(extract)) {
            MESSAGE("skipped: no table of default limits here");
            return;
        }
        std::map<std::string, double> table;
        const auto whole = nlohmann::json::parse(in);
        for (const auto& row : whole["speedLimitsByCountryCode"]["GB"])
            table[row.value("name", "other")] =
                map::read_speed(row["tags"]["maxspeed"].get<std::string>()).value();
        REQUIRE(table.size() == 5);
        const region::Region england = region::load("england");
        int compared = 0, same = 0, higher = 0;
        each_highway(extract, [&](std::int64_t id, const Tags& tags) {
            const auto speed = map::read_way(tags, england).speed;
            if (speed.grade != Grade::presumed) return;
            const auto highway = map::highway_class(tags);
            const bool restricted = tags.is("lit", "yes") ||
                                    (highway == "residential" && !tags.is("lit", "no")) ||
                                    (highway == "living_street" && !tags.is("lit", "no"));
            const double expected = highway.starts_with("motorway")      ? table["motorway"]
                                    : tags.is("dual_carriageway", "yes") ? table["dual carriageway"]
                                    : restricted ? table["United Kingdom: restricted road"]
                                                 : table["other"];
            CAPTURE(id);
            CHECK(*speed.limit_kmh > expected - 0.01); // never below the table
            ++compared;
            if (std::abs(*speed.limit_kmh - expected) < 0.01) ++same;
            if (*speed.limit_kmh > expected + 0.01) ++higher;
        });
        MESSAGE("compared " << compared << ", same " << same << ", higher (perhaps dual, or lit trunk) "
                            << higher);
        CHECK(compared > 100);
        CHECK(same * 100 >= compared * 95);
    }
}
