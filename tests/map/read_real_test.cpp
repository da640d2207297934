#include "map/kinds.hpp"
#include "map/read.hpp"

#include <doctest/doctest.h>
#include <osmium/handler/node_locations_for_ways.hpp>
#include <osmium/index/map/flex_mem.hpp>
#include <osmium/io/any_input.hpp>
#include <osmium/visitor.hpp>

#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>

namespace {

using namespace waywarden;
namespace fs = std::filesystem;

std::vector<geo::Position> points_of(const fs::path& gpx) {
    std::ifstream in(gpx);
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    const std::regex point("<trkpt lat=\"([-0-9.]+)\" lon=\"([-0-9.]+)\"");
    std::vector<geo::Position> points;
    for (auto m = std::sregex_iterator(text.begin(), text.end(), point); m != std::sregex_iterator(); ++m)
        points.push_back({std::stod((*m)[2]), std::stod((*m)[1])});
    return points;
}

/// Independent of the reader: libosmium's own index of all node positions, and every way of the file.
struct WholeScan {
    std::map<std::int64_t, std::vector<geo::Position>> highways;

    explicit WholeScan(const fs::path& extract) {
        osmium::index::map::FlexMem<osmium::unsigned_object_id_type, osmium::Location> index;
        osmium::handler::NodeLocationsForWays<decltype(index)> locations(index);
        locations.ignore_errors();
        osmium::io::Reader reader(extract.string(),
                                  osmium::osm_entity_bits::node | osmium::osm_entity_bits::way);
        while (osmium::memory::Buffer buffer = reader.read()) {
            osmium::apply(buffer, locations);
            for (const osmium::Way& way : buffer.select<osmium::Way>()) {
                if (!way.tags().has_key("highway")) continue;
                auto& line = highways[way.id()];
                for (const auto& ref : way.nodes())
                    if (ref.location().valid()) line.push_back({ref.lon(), ref.lat()});
            }
        }
        reader.close();
    }
};

} // namespace

TEST_SUITE("real") {
    TEST_CASE("every highway with a node within 350 m of a signed route is read, whole, as a scan of the "
              "whole file finds it") {
        const fs::path data = WAYWARDEN_SHARED_DATA;
        if (!fs::exists(data / "extracts")) {
            MESSAGE("skipped: no " << data.string());
            return;
        }
        const std::pair<const char*, const char*> cases[] = {
            {"rutland-2022", "rutland/r334253.exact.gpx"},
            {"rutland-2018", "rutland/r1880252.exact.gpx"},
            {"liechtenstein-2021", "liechtenstein/r3972278.exact.gpx"}};
        for (const auto& [extract, route] : cases) {
            CAPTURE(extract);
            const fs::path file = data / "extracts" / (std::string(extract) + ".osm.pbf");
            const auto line = points_of(data / "routes" / route);
            REQUIRE(line.size() > 100);
            const std::vector<std::string> paths{file.string()};
            const auto ground = map::read(paths, {{line}, 400});
            std::map<std::int64_t, std::size_t> nodes_read;
            for (const auto& way : ground.ways)
                nodes_read[way.object.id.id] += way.nodes.size();
            std::size_t near = 0;
            for (const auto& [id, places] : WholeScan(file).highways) {
                const bool is_near = std::any_of(places.begin(), places.end(), [&](geo::Position p) {
                    return std::any_of(line.begin(), line.end(), [&](geo::Position q) {
                        return std::abs(p.lat_deg - q.lat_deg) < 0.004 &&
                               geo::length_m(geo::LocalFrame(q).to_plane(p)) < 350;
                    });
                });
                if (!is_near) continue;
                ++near;
                CAPTURE(id);
                CHECK(nodes_read[id] == places.size());
            }
            CHECK(near > 50); // the comparison is not an empty one
        }
    }
}
