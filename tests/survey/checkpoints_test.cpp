#include "error.hpp"
#include "survey/checkpoints.hpp"

#include <GeographicLib/Geodesic.hpp>
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>

using namespace waywarden;
using survey::NamedPlace;

namespace {

const geo::LocalFrame& frame() {
    static const geo::LocalFrame out({3, 56});
    return out;
}

geo::Position at(double x_m, double y_m) {
    return frame().to_position({x_m, y_m});
}

route::Route line(const std::vector<geo::Metres2>& corners) {
    route::Route out;
    out.read_as = "track";
    out.segments.emplace_back();
    for (const geo::Metres2 corner : corners)
        out.segments.back().points.push_back({frame().to_position(corner), std::nullopt, 0});
    return out;
}

/// "start 0, Barn 400, finish 1000".
std::string told(const survey::CheckpointList& list) {
    std::string out;
    for (const auto& one : list.checkpoints)
        out += fmt::format("{}{} {}", out.empty() ? "" : ", ", one.name, std::lround(one.at_m / 10) * 10);
    return out;
}

survey::CheckpointList found(const route::Route& route, const std::vector<NamedPlace>& places) {
    return survey::checkpoints_at(route, places, geo::GridSystem::utm);
}

} // namespace

TEST_CASE("a place beside the line parts it, one farther off is told with its distance") {
    const auto route = line({{0, 0}, {2000, 0}});
    const auto list = found(route, {{"Barn", at(500, 40)}, {"Lookout", at(1200, 340)}});
    CHECK(told(list) == "start 0, Barn 500, finish 2000");
    CHECK(list.checkpoints[1].aside_m == doctest::Approx(40).epsilon(0.001));
    CHECK(list.checkpoints[1].position == at(500, 40)); // as the file has it
    REQUIRE(list.remarks.size() == 1);
    CHECK(list.remarks[0].find("Lookout (32V") == 0);
    CHECK(list.remarks[0].find("is 340 m from the line") != std::string::npos);
}

TEST_CASE("where the line passes twice, the order of the places is the order of the walk") {
    const auto there_and_back = line({{0, 0}, {1000, 0}, {0, 0}});
    const NamedPlace barn{"Barn", at(400, 0)}, head{"Head", at(1000, 0)};
    CHECK(told(found(there_and_back, {barn, head})) == "start 0, Barn 400, Head 1000, finish 2000");
    CHECK(told(found(there_and_back, {head, barn})) == "start 0, Head 1000, Barn 1600, finish 2000");
    CHECK(told(found(there_and_back, {barn, head, barn})) ==
          "start 0, Barn 400, Head 1000, Barn 1600, finish 2000");
    const auto list = found(there_and_back, {head, barn});
    REQUIRE(list.remarks.size() == 1);
    CHECK(list.remarks[0] == "The line passes Barn more than once; it counts at km 1.6, not at km 0.4.");

    // A figure of eight: over the cross at 1000 and at 3000.
    const auto eight = line({{0, 0}, {1000, 0}, {2000, 0}, {2000, 1000}, {1000, 1000}, {1000, -500}});
    const NamedPlace cross{"Cross", at(1000, 0)}, corner{"Corner", at(2000, 1000)};
    CHECK(told(found(eight, {cross, corner})) == "start 0, Cross 1000, Corner 3000, finish 5500");
    CHECK(told(found(eight, {corner, cross})) == "start 0, Corner 3000, Cross 5000, finish 5500");
}

TEST_CASE("the nearer of two passes counts where the order leaves both") {
    // Back along a lane 50 m to the north; the place is on the way back.
    const auto lanes = line({{0, 0}, {1000, 0}, {1000, 50}, {0, 50}});
    CHECK(told(found(lanes, {{"Gate", at(400, 50)}})) == "start 0, Gate 1650, finish 2050");
    CHECK(told(found(lanes, {{"Gate", at(400, 3)}})) == "start 0, Gate 400, finish 2050");
}

TEST_CASE("places out of order are put in the order of the line, and that is said") {
    const auto route = line({{0, 0}, {3000, 0}});
    const auto list = found(route, {{"C", at(2500, 0)}, {"A", at(500, 0)}, {"B", at(1500, 0)}});
    CHECK(told(list) == "start 0, A 500, B 1500, C 2500, finish 3000");
    REQUIRE(list.remarks.size() == 1);
    CHECK(list.remarks[0].find("not given in the order of the walk") != std::string::npos);
}

TEST_CASE("a place at an end names the end; alone it parts nothing") {
    const auto loop = line({{0, 0}, {1000, 0}, {1000, 1000}, {0, 1000}, {0, 0}});
    const NamedPlace camp{"Camp", at(10, 0)}, tor{"Tor", at(1000, 1000)};
    CHECK(told(found(loop, {camp, tor})) == "Camp 0, Tor 2000, Camp 4000");
    CHECK(told(found(loop, {camp, tor, camp})) == "Camp 0, Tor 2000, Camp 4000");
    CHECK(found(loop, {camp, tor}).remarks.empty());
    CHECK(found(loop, {camp}).checkpoints.empty());
    CHECK(found(loop, {}).checkpoints.empty());
}

TEST_CASE("two names of one place are one checkpoint") {
    const auto route = line({{0, 0}, {2000, 0}});
    CHECK(told(found(route, {{"Kirk", at(800, 0)}, {"CP 2", at(800, 5)}})) ==
          "start 0, Kirk / CP 2 800, finish 2000");
}

TEST_CASE("waypoints without a name part a drawn line, but not one that was read from them") {
    auto route = line({{0, 0}, {1000, 0}, {2000, 0}});
    route.waypoints = {{"", at(1000, 0), std::nullopt, 4}};
    CHECK(told(survey::checkpoints_of_file(route, geo::GridSystem::utm)) ==
          "start 0, waypoint 1 1000, finish 2000");
    route.read_as = "waypoints";
    CHECK(survey::checkpoints_of_file(route, geo::GridSystem::utm).checkpoints.empty());
}

TEST_CASE("over a gap the line is two pieces, and no place is found in between") {
    auto route = line({{0, 0}, {1000, 0}});
    route.segments.push_back(line({{1500, 0}, {2500, 0}}).segments.front());
    const auto list = found(route, {{"Shed", at(1250, 0)}, {"Mill", at(2000, 0)}});
    CHECK(told(list) == "start 0, Mill 1500, finish 2000");
    CHECK(list.remarks.at(0).find("Shed") == 0);
}

// Lengths are GeographicLib's; tests/geo/grid_projection_test.cpp holds ours against PROJ's too.
TEST_CASE("legs of even length") {
    const auto route = line({{0, 0}, {3000, 0}, {3000, 2000}});
    double length_m = 0;
    const auto& p = route.segments.front().points;
    for (std::size_t i = 0; i + 1 < p.size(); ++i) {
        double piece_m = 0;
        GeographicLib::Geodesic::WGS84().Inverse(p[i].position.lat_deg, p[i].position.lon_deg,
                                                 p[i + 1].position.lat_deg, p[i + 1].position.lon_deg,
                                                 piece_m);
        length_m += piece_m;
    }
    const auto km = survey::checkpoints_every(route, survey::read_leg_spacing("every=2km"));
    REQUIRE(km.checkpoints.size() == 4);
    CHECK(km.from == "every 2 km");
    CHECK(km.checkpoints[1].name == "2 km");
    CHECK(km.checkpoints[1].at_m == 2000);
    CHECK(km.checkpoints[3].at_m == doctest::Approx(length_m).epsilon(1e-9));
    // One international mile is 1609.344 m (agreement of 1959).
    const auto mi = survey::checkpoints_every(route, survey::read_leg_spacing("every=1mi"));
    CHECK(told(mi) == "start 0, 1 mi 1610, 2 mi 3220, 3 mi 4830, finish 5000");
    CHECK(mi.checkpoints[2].at_m == 2 * 1609.344);
    const auto m = survey::checkpoints_every(route, survey::read_leg_spacing("every=1500m"));
    CHECK(told(m) == "start 0, 1500 m 1500, 3000 m 3000, 4500 m 4500, finish 5000");
    CHECK(told(survey::checkpoints_every(route, survey::read_leg_spacing("every=9km"))) ==
          "start 0, finish 5000");
}

TEST_CASE("any other way of asking for legs is refused in words") {
    for (const char* text :
         {"", "2km", "every", "every=", "every=km", "every=2", "every=2 km", "every=2KM", "every=-2km",
          "every=0km", "every=nan km", "every=infkm", "every=1e3m", "every=2kmx", "every=2ft", "every=50m",
          "every=101km", "every=2,5km", " every=2km"}) {
        CAPTURE(text);
        CHECK_THROWS_AS(survey::read_leg_spacing(text), ArgumentError);
    }
    CHECK(survey::read_leg_spacing("every=0.5mi").every_m == 804.672);
    CHECK(survey::read_leg_spacing("every=2.5km").every_m == 2500);
}
