#include "geo/magnetic.hpp"
#include "survey/leg_figures.hpp"
#include "survey/surveyed.hpp"

#include <GeographicLib/Geodesic.hpp>
#include <GeographicLib/UTMUPS.hpp>
#include <doctest/doctest.h>

using namespace waywarden;
using survey::bearing_grid_deg;

namespace {

/// The test points of Ordnance Survey's OSTN15 developer pack (TestInput and TestOutput, ETRS to OSGB):
/// ETRS89 degrees and metres on the National Grid.
struct TestPoint {
    geo::Position position;
    double easting_m, northing_m;
};
constexpr TestPoint k_tp03{{-4.10864563561, 50.43885825610}, 250359.811, 62016.569};
constexpr TestPoint k_tp04{{-1.29782277240, 50.57563665000}, 449816.371, 75335.861};
constexpr TestPoint k_tp05{{-1.45051433700, 50.93127937910}, 438710.920, 114792.250};
constexpr TestPoint k_tp07{{1.44454730409, 51.37447025550}, 639821.835, 169565.858};
constexpr TestPoint k_tp10{{-4.30852476960, 51.85890896400}, 241124.584, 220332.641};
constexpr TestPoint k_tp11{{0.89724327012, 51.89436637350}, 599445.590, 225722.826};

double turn(double a_deg, double b_deg) {
    return std::remainder(a_deg - b_deg, 360);
}

double published_deg(const TestPoint& a, const TestPoint& b) {
    return std::atan2(b.easting_m - a.easting_m, b.northing_m - a.northing_m) * 180 / std::acos(-1.0);
}

double true_deg(geo::Position a, geo::Position b) {
    double there = 0, back = 0;
    GeographicLib::Geodesic::WGS84().Inverse(a.lat_deg, a.lon_deg, b.lat_deg, b.lon_deg, there, back);
    return there;
}

survey::LegTable legs_of(const route::Route& route, const survey::Survey& survey,
                         const std::vector<survey::NamedPlace>& places, const survey::LegBasis& basis) {
    return survey::legs_between(route, survey, survey::checkpoints_at(route, places, basis.grid), basis);
}

} // namespace

// Ours is off the published coordinates by up to 5 m (EPSG:1314), here over 40 km and more: 0.01 degrees.
TEST_CASE("the grid bearing between published grid coordinates") {
    for (const auto& [a, b] :
         {std::pair{k_tp05, k_tp04}, {k_tp04, k_tp05}, {k_tp07, k_tp11}, {k_tp10, k_tp03}, {k_tp03, k_tp10}})
        CHECK(std::abs(turn(bearing_grid_deg(a.position, b.position, geo::GridSystem::british),
                            published_deg(a, b))) < 0.01);
}

// Grid north lies east of true north where the place is east of 2 degrees W, the meridian of the grid, so
// the true bearing is the larger there; and the other way about to the west. At TP07 convergence is about
// (1.4445 + 2) sin(51.374) = 2.69 degrees, at TP03 -2.1086 sin(50.439) = -1.63: textbook first term.
TEST_CASE("convergence has its sign east and west of 2 degrees W") {
    const double east = turn(true_deg(k_tp07.position, k_tp11.position),
                             bearing_grid_deg(k_tp07.position, k_tp11.position, geo::GridSystem::british));
    CHECK(east == doctest::Approx(2.69).epsilon(0.02));
    const double west = turn(true_deg(k_tp03.position, k_tp10.position),
                             bearing_grid_deg(k_tp03.position, k_tp10.position, geo::GridSystem::british));
    CHECK(west == doctest::Approx(-1.63).epsilon(0.02));
}

// GeographicLib can be told which zone to project to. (At 50 N: from 56 N on zone 32 begins at 3 E.)
TEST_CASE("over the edge of a UTM zone the grid is that of the start") {
    const geo::Position a{5.98, 50.00}, b{6.03, 50.02};
    for (const auto& [from, to, zone_of_start] : {std::tuple{a, b, 31}, {b, a, 32}}) {
        double x[2], y[2];
        int zone = 0;
        bool north = false;
        for (int i = 0; i < 2; ++i) {
            const geo::Position p = i == 0 ? from : to;
            GeographicLib::UTMUPS::Forward(p.lat_deg, p.lon_deg, zone, north, x[i], y[i], zone_of_start);
        }
        const double expected = std::atan2(x[1] - x[0], y[1] - y[0]) * 180 / std::acos(-1.0);
        CHECK(std::abs(turn(bearing_grid_deg(from, to, geo::GridSystem::utm), expected)) < 0.01);
    }
}

TEST_CASE("whole degrees end at 359") {
    CHECK(survey::whole_degrees(359.6) == 0);
    CHECK(survey::whole_degrees(359.4) == 359);
    CHECK(survey::whole_degrees(0.2) == 0);
}

TEST_CASE("what a leg runs along and which roads it meets") {
    // A path to a lane, along it, and by a path over a main road: 400 m from letter to letter.
    const test::Sketch sketch(R"(
        . . . . . . F . .
        A . B . C . D . G
        . . . . . . E . .
    )",
                              100,
                              {"w1 Thighway=footway NAB", "w2 Thighway=unclassified,name=Ness%20%Lane NBC",
                               "w3 Thighway=footway NCDG", "w4 Thighway=primary,ref=A9901 NEDF"});
    const auto route = sketch.route_of("1:AB 2:BC 3:CDG");
    const auto surveyed = test::surveyed(sketch, "1:AB 2:BC 3:CDG");
    const auto table = legs_of(route, surveyed, {{"Stile", sketch.at('B')}}, {geo::GridSystem::utm});
    REQUIRE(table.legs.size() == 2);
    const auto &first = table.legs[0], &second = table.legs[1];
    const double side_m = test::metres_over(sketch, "AB");
    CHECK(first.from.name == "start");
    CHECK(first.to.name == "Stile");
    CHECK(second.from.at_m == first.to.at_m);
    CHECK(first.length_m == doctest::Approx(side_m));
    CHECK(first.straight_m == doctest::Approx(side_m));
    CHECK(first.by_access == std::map<map::Access, double>{{map::Access::footpath, first.length_m}});
    CHECK(second.by_access.at(map::Access::minor_road) == doctest::Approx(side_m));
    CHECK(second.by_access.at(map::Access::footpath) == doctest::Approx(2 * side_m).epsilon(0.001));
    // Due east at 56 N 3 E, which is zone 32, 6 degrees west of its middle: grid north is 6 sin 56 = 4.974
    // degrees west of true north (textbook first term).
    CHECK(first.bearing_grid_deg == doctest::Approx(94.974).epsilon(0.001));
    CHECK(first.leaving_grid_deg == doctest::Approx(94.974).epsilon(0.001));
    REQUIRE(first.escapes.size() == 1); // the lane it ends at
    CHECK(first.escapes[0].name == "Ness Lane");
    CHECK(first.escapes[0].at_m == doctest::Approx(side_m));
    REQUIRE(second.escapes.size() == 2);
    CHECK(second.escapes[1].name == "A9901");
    CHECK(second.facts.number("escape_ways") == 2.0);
    CHECK(second.facts.number("road_m") == doctest::Approx(side_m));
    CHECK(second.facts.number("major_road_m") == 0.0);
    CHECK(second.facts.text("from") == "Stile");
    CHECK_FALSE(second.facts.number("ascent_m").has_value());
    CHECK_FALSE(first.walking_min.has_value());
    CHECK_FALSE(first.arrives.has_value());
}

namespace {

/// 2 km due north of 56 N 3 E with a place half-way; climbs 50 m and then 20 m, by a height line made by
/// hand.
struct Climber {
    test::Sketch sketch{"B\n.\nM\n.\nA", 500, {"w1 Thighway=footway NAMB"}};
    route::Route route = sketch.route_of("1:AMB");
    survey::Survey survey = test::surveyed(sketch, "1:AMB");
    survey::LegBasis basis;

    Climber() {
        basis.grid = geo::GridSystem::utm;
        basis.date = std::chrono::year(2027) / 5 / 15;
        survey::HeightLine heights;
        heights.length_m = survey.length_m;
        heights.step_m = survey.length_m / 2;
        heights.height_m = {10, 60, 80};
        heights.ascent_m = {0, 50, 70};
        heights.descent_m = {0, 0, 0};
        heights.words = "made by hand";
        basis.heights = heights;
        basis.effort = survey::Effort{survey::TimeMethod::party, 4, 10, 12, 1};
        basis.timetable = survey::Timetable{geo::read_time("2027-05-15T09:30").value(), {}, "Europe/London"};
    }
    survey::LegTable legs() const { return legs_of(route, survey, {{"Top", sketch.at('M')}}, basis); }
};

std::string clock(const std::optional<geo::LocalSeconds>& at) {
    if (!at) return "unknown";
    const auto seconds = at->time_since_epoch().count() % 86400;
    return fmt::format("{:02}:{:02}", seconds / 3600, seconds / 60 % 60);
}

} // namespace

// Worked by hand: 1 km at 4 km/h is 15 min and 50 m of climb 5 more: 20, with 12 min of rest in an hour
// 4 more. Then 15 and 2 min: 17, and 3.4 of rest.
TEST_CASE("climb, time and clock of each leg") {
    const auto table = Climber().legs();
    REQUIRE(table.legs.size() == 2);
    CHECK(table.legs[0].ascent_m == doctest::Approx(50));
    CHECK(table.legs[0].descent_m == doctest::Approx(0));
    CHECK(table.legs[0].walking_min.value() == doctest::Approx(20).epsilon(0.001));
    CHECK(table.legs[0].rest_min.value() == doctest::Approx(4).epsilon(0.001));
    CHECK(table.legs[1].walking_min.value() == doctest::Approx(17).epsilon(0.001));
    CHECK(clock(table.legs[0].leaves) == "09:30");
    CHECK(clock(table.legs[0].arrives) == "09:54");
    CHECK(table.legs[1].leaves == table.legs[0].arrives);
    CHECK(clock(table.legs[1].arrives) == "10:14"); // 44.4 min after the start
    CHECK(table.heights_from == "made by hand");
    CHECK(table.legs[1].facts.number("walking_min") == table.legs[1].walking_min);
}

TEST_CASE("a height that is not known leaves climb, time and every later clock unknown") {
    Climber climber;
    climber.basis.heights->height_m[0].reset();
    const auto table = climber.legs();
    CHECK_FALSE(table.legs[0].ascent_m.has_value());
    CHECK_FALSE(table.legs[0].walking_min.has_value());
    CHECK(table.legs[1].ascent_m.has_value());
    CHECK(table.legs[1].walking_min.has_value());
    CHECK(clock(table.legs[0].leaves) == "09:30");
    CHECK(clock(table.legs[0].arrives) == "unknown");
    CHECK(clock(table.legs[1].leaves) == "unknown");
    CHECK(clock(table.legs[1].arrives) == "unknown");
}

TEST_CASE("without a time of day there is no clock, without a pace no time") {
    Climber climber;
    climber.basis.timetable->start = geo::read_time("2027-05-15").value();
    CHECK(clock(climber.legs().legs[0].leaves) == "unknown");
    climber.basis.effort.reset();
    CHECK_FALSE(climber.legs().legs[0].walking_min.has_value());
    CHECK(climber.legs().legs[0].ascent_m.has_value());
}

// British Summer Time begins on 28 March 2027 at 01:00 UTC (Summer Time Order 2002, SI 2002/262).
TEST_CASE("the clock goes on over the change of the clocks") {
    const survey::Timetable night{geo::read_time("2027-03-28T00:30").value(), {}, "Europe/London"};
    CHECK(clock(survey::clock_after(night, 60)) == "02:30");
    CHECK(clock(survey::clock_after(night, 20)) == "00:50");
}

// By compass a bearing is the grid bearing less the grid magnetic angle; the angle itself is tested on the
// model's own published values.
TEST_CASE("the bearing by compass, and none outside the years of the model") {
    Climber climber;
    const auto leg = climber.legs().legs[0];
    const double angle =
        geo::grid_magnetic_angle_deg(climber.sketch.at('A'), geo::GridSystem::utm, climber.basis.date)
            .value();
    CHECK(std::abs(turn(*survey::bearing_magnetic_deg(leg, leg.bearing_grid_deg),
                        leg.bearing_grid_deg - angle)) < 1e-9);
    CHECK(*survey::bearing_magnetic_deg(leg, 0.5) >= 0);
    CHECK(*survey::bearing_magnetic_deg(leg, 359.5) < 360);
    climber.basis.date = std::chrono::year(2031) / 5 / 15;
    const auto later = climber.legs();
    CHECK_FALSE(survey::bearing_magnetic_deg(later.legs[0], 45).has_value());
    CHECK_FALSE(later.magnetic_by.empty());
}

TEST_CASE("a loop from a place to itself has no bearing") {
    const test::Sketch sketch(R"(
        A . B
        . . .
        D . C
    )",
                              100, {"w1 Thighway=footway NABCDA"});
    const auto route = sketch.route_of("1:ABCDA");
    const auto table = survey::find_legs(route, test::surveyed(sketch, "1:ABCDA"), {geo::GridSystem::utm},
                                         survey::LegSpacing{100'000, 1000, "km"});
    REQUIRE(table.legs.size() == 1);
    CHECK(table.legs[0].straight_m < 1);
    CHECK_FALSE(survey::has_bearing(table.legs[0]));
    CHECK(table.legs[0].length_m > 700);
}

TEST_CASE("a gap within a leg is told, for its length is not counted") {
    const test::Sketch sketch("A . B . C . D", 100, {"w1 Thighway=footway NABCD"});
    auto route = sketch.route_of("1:AB | 1:CD");
    const double gap_at_m = test::metres_over(sketch, "AB");
    route.oddities.push_back({route::OddityKind::gap, gap_at_m, gap_at_m, 200, sketch.at('B'), 0, "A gap."});
    const auto table = survey::find_legs(route, test::surveyed(sketch, "1:AB | 1:CD"), {geo::GridSystem::utm},
                                         survey::LegSpacing{100'000, 1000, "km"});
    REQUIRE(table.remarks.size() == 1);
    CHECK(table.remarks[0].find("leg 1 has a gap of 200 m") != std::string::npos);
}
