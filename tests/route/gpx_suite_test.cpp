#include "error.hpp"
#include "route/read.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <sstream>

namespace {

using namespace waywarden;
namespace fs = std::filesystem;

std::string outcome(const fs::path& file) {
    try {
        const route::Route route = route::read_file(file.string());
        std::size_t points = 0;
        for (const auto& segment : route.segments)
            points += segment.points.size();
        std::ostringstream words;
        words << route.read_as << ' ' << route.segments.size() << ' ' << points << ' '
              << route.waypoints.size();
        return words.str();
    } catch (const DataError& e) {
        CHECK(std::string(e.what()).find(file.filename().string()) != std::string::npos);
        return "refused";
    }
}

} // namespace

TEST_SUITE("real") {
    TEST_CASE("every file of the gpx-suite is read or refused as the table says") {
        const fs::path suite = fs::path(WAYWARDEN_SHARED_DATA) / "gpx-suite";
        if (!fs::exists(suite)) {
            MESSAGE("skipped: no " << suite.string());
            return;
        }
        std::ifstream table(WAYWARDEN_TESTS "/route/gpx_suite_outcomes.txt");
        std::map<std::string, std::string> expected;
        for (std::string line; std::getline(table, line);)
            if (!line.empty() && line[0] != '#')
                expected[line.substr(0, line.find(' '))] = line.substr(line.find(' ') + 1);
        REQUIRE(expected.size() > 100);
        std::set<std::string> met;
        for (const auto& entry : fs::directory_iterator(suite)) {
            const std::string name = entry.path().filename().string();
            CAPTURE(name);
            met.insert(name);
            REQUIRE(expected.count(name) == 1);
            CHECK(outcome(entry.path()) == expected[name]);
        }
        CHECK(met.size() == expected.size());
    }

    TEST_CASE("hill circuits come with elevations and named waypoints") {
        const fs::path hills = fs::path(WAYWARDEN_SHARED_DATA) / "routes/uk-hills";
        if (!fs::exists(hills)) {
            MESSAGE("skipped: no " << hills.string());
            return;
        }
        // Counts of `<trkpt` and of `<ele>` in the files themselves.
        const auto count = [&](const char* name) {
            std::pair<std::size_t, std::size_t> points_and_elevations;
            for (const auto& segment : route::read_file((hills / name).string()).segments)
                for (const auto& point : segment.points) {
                    ++points_and_elevations.first;
                    points_and_elevations.second += point.elevation_m.has_value();
                }
            return points_and_elevations;
        };
        CHECK(count("bob-graham-round.gpx") == std::pair<std::size_t, std::size_t>(11844, 0));
        CHECK(count("inverness-half-marathon.gpx") == std::pair<std::size_t, std::size_t>(181, 181));
        CHECK(route::read_file((hills / "bob-graham-round-waypoints.gpx").string()).waypoints.size() > 40);
    }
}
