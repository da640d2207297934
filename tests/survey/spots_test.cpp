#include "survey/spots.hpp"
#include "surveyed.hpp"

#include <doctest/doctest.h>

using namespace waywarden;
using namespace waywarden::test;

TEST_CASE("areas are entered and left where the line cuts their edge") {
    const auto walk = [](const std::string& area, const std::string& way, std::string_view kind) {
        const Sketch map(R"(
        A . . B
    D . . . . . . E
        F . . G     )",
                         20, {"w1 T" + area + " NABGFA", "w2 T" + way + " NDE"});
        return spots(surveyed(map, "2:DE"), kind);
    };
    const std::string path = "highway=path";
    CHECK(walk("landuse=military", path, "military_area") == "80-200");
    CHECK(walk("military=danger_area", path, "danger_area") == "80-200");
    CHECK(walk("landuse=quarry", path, "quarry") == "80-200");
    CHECK(walk("landuse=farmyard", path, "farmyard") == "80-200");
    CHECK(walk("leisure=garden", path, "garden") == "80-200");
    CHECK(walk("leisure=golf_course", path, "golf_course") == "80-200");
    CHECK(walk("amenity=school", path, "school") == "80-200");
    CHECK(walk("aeroway=aerodrome", path, "airfield") == "80-200");
    CHECK(walk("landuse=construction", path, "construction_area") == "80-200");
    CHECK(walk("natural=wetland,wetland=tidalflat", path, "tidal_area") == "80-200");
    CHECK(walk("natural=beach,tidal=yes", path, "tidal_area") == "80-200");
    CHECK(walk("natural=beach", path, "tidal_area") == "");
    CHECK(walk("landuse=farmland,access=private", path, "private_area") == "80-200");
    CHECK(walk("landuse=farmland", path, "private_area") == "");
    CHECK(walk("building=yes", path, "building") == ""); // off the paths only
    CHECK(walk("building=yes", path, "building_over_way") == "80-200");
    for (const char* passage : {",covered=yes", ",tunnel=building_passage", ",bridge=yes", ",layer=1"})
        CHECK(walk("building=yes", path + passage, "building_over_way") == "");
    for (const char* building : {"building=roof", "building=yes,min_level=1", "building=ruins"})
        CHECK(walk(building, path, "building_over_way") == "");
    CHECK(walk("leisure=park,opening_hours=08:00-18:00", path, "ground") == "80-200");
    CHECK(walk("leisure=park,opening_hours=24/7", path, "ground") == "");
    CHECK(walk("shop=mall,opening_hours=08:00-18:00", path, "ground") == "");
    CHECK(walk("aeroway=runway", path, "runway") == "70-210"); // an area, with 10 m to each side
}

TEST_CASE("an area that holds the whole route is found though none of its edge is near") {
    const Sketch map(R"(
    A . . . . . . . B
    . . . . . . . . .
    . . . . D E . . .
    . . . . . . . . .
    C . . . . . . . F )",
                     500, {"w1 Tmilitary=range NABFCA", "w2 Thighway=path NDE"});
    const auto survey = surveyed(map, "2:DE");
    CHECK(spots(survey, "danger_area") == "0-1000");
    CHECK(spot(survey, "danger_area").facts.text("military") == "range");
}

TEST_CASE("whether a recorded right leads through an area") {
    const auto recorded = [](const std::string& way, std::string_view walk) {
        const Sketch map(R"(
        A . . B
    D . . . . . . E
        F . . G     )",
                         20,
                         {"w1 Tlanduse=farmyard,access=private NABGFA", "w2 Thighway=track" + way + " NDE"});
        return spot(surveyed(map, walk), "farmyard").facts;
    };
    CHECK(recorded(",designation=public_footpath", "2:DE").flag("on_recorded_right") == true);
    CHECK(recorded("", "2:DE").flag("on_recorded_right") == false);
    CHECK(recorded("", "-:DE").flag("off_path") == true);
    CHECK(recorded("", "-:DE").text("access_tags") == "access=private");
}

TEST_CASE("a cliff within 10 m of the walk is told, one farther off is not") {
    const auto cliff = [](double cell_m) {
        const Sketch map(R"(
    . . A . B . .
    D . . . . . E )",
                         cell_m, {"w1 Tnatural=cliff NAB", "w2 Thighway=path NDE"});
        return surveyed(map, "2:DE");
    };
    const auto near = cliff(8);
    REQUIRE(spots(near, "cliff") != "");
    CHECK(*spot(near, "cliff").facts.number("distance_m") == doctest::Approx(8).epsilon(0.02));
    CHECK(spot(near, "cliff").facts.flag("within") == false);
    CHECK(spots(cliff(12), "cliff") == "");
}

TEST_CASE("barriers on the way walked") {
    const auto barrier = [](const std::string& tags) {
        const Sketch map("A . G . B", 50, {"w1 Thighway=footway NAGB", "nG T" + tags});
        return surveyed(map, "1:AGB");
    };
    CHECK(spots(barrier("barrier=stile"), "stile") == "200-200");
    CHECK(spots(barrier("barrier=kissing_gate"), "gate") == "200-200");
    CHECK(spots(barrier("barrier=bollard"), "barrier") == "200-200");
    CHECK(spot(barrier("barrier=gate,locked=yes"), "gate").facts.flag("locked") == true);
    CHECK_FALSE(spot(barrier("barrier=gate"), "gate").facts.flag("locked"));
    CHECK(spot(barrier("barrier=gate,access=private"), "gate").facts.text("right_value") == "private");
    CHECK(spot(barrier("access=no"), "barrier").facts.text("right_value") == "no");
    CHECK(spots(barrier("access=no,motor_vehicle=yes"), "barrier") == "");
    CHECK(spot(barrier("barrier=kerb,kerb=raised"), "barrier").facts.text("barrier_kind") == "raised kerb");
    CHECK(spot(barrier("barrier=kerb,kerb:height=1cm"), "barrier").facts.text("barrier_kind") == "kerb");
    CHECK(*spot(barrier("barrier=bollard,maxwidth:physical=0.8"), "barrier").facts.number("gap_m") == 0.8);
}

// Source: OSM wiki, Tag:barrier=gate: a node of the way, or a line across it.
TEST_CASE("a gate drawn as a line is met once, at the walk's node or where it is cut") {
    const std::string drawing = R"(
    . . C . .
    A . G . B
    . . H . . )";
    const auto gates = [&](const std::vector<std::string>& ways, const std::string& walk) {
        return spots(surveyed(Sketch(drawing, 50, ways), walk), "gate");
    };
    CHECK(gates({"w1 Thighway=footway NAGB", "w2 Tbarrier=gate NCGH"}, "1:AGB") == "200-200");
    CHECK(gates({"w1 Thighway=footway NAGB", "w2 Tbarrier=gate NCG", "w3 Tbarrier=gate NGH"}, "1:AGB") ==
          "200-200");
    CHECK(gates({"w1 Thighway=footway NAB", "w2 Tbarrier=gate NCH"}, "1:AB") == "200-200");
    CHECK(gates({"w1 Thighway=footway,bridge=yes NAB", "w2 Tbarrier=gate NCH"}, "1:AB") == "");
    CHECK(gates({"w1 Thighway=footway NAGB", "w2 Tbarrier=gate NCGH", "nG Tbarrier=gate"}, "1:AGB") ==
          "200-200");
}

TEST_CASE("pieces off the map begin and end at its edge") {
    const Sketch map("A . B . C", 50, {"w1 Thighway=path NABC"});
    auto ground = map.ground();
    REQUIRE(ground.sources.size() == 1);
    auto box = *ground.sources[0].node_bounds;
    box.east_deg = (map.at('A').lon_deg + map.at('B').lon_deg) / 2;
    box.south_deg -= 0.01;
    box.north_deg += 0.01;
    ground.sources[0].bounds = box;
    const auto survey =
        survey::survey(map.route_of("1:ABC"), ground, map.trace("1:ABC"), region::load("england"), k_today_s);
    CHECK(spots(survey, "off_map") == "100-400");
    CHECK(survey.stretches[0].reading.facts.flag("covered_by_map") == false);
    CHECK(spots(surveyed(map, "1:ABC"), "off_map") == "");
}

TEST_CASE("a long piece of open ground where nothing at all is mapped") {
    const Sketch map("A . . . . . . . . . . B", 200, {"w1 Thighway=path NAB"});
    auto ground = map.ground();
    auto trace = map.trace("-:AB");
    ground.ways.clear();
    const auto survey =
        survey::survey(map.route_of("-:AB"), ground, trace, region::load("england"), k_today_s);
    CHECK(spots(survey, "empty_map") != "");
    CHECK(spots(surveyed(map, "-:AB"), "empty_map") == "");
}

TEST_CASE("the age of the map") {
    // Days between 2022-07-20 and 2026-11-25, counted by hand: four years with one leap day (1461) and 128
    // days.
    const Sketch map("A . B", 50, {"w1 Thighway=path NAB"});
    auto ground = map.ground();
    ground.sources[0].data_until = "2022-07-20T20:21:42Z";
    const auto at = [&] {
        return survey::survey(map.route_of("1:AB"), ground, map.trace("1:AB"), region::load("england"),
                              k_today_s);
    };
    CHECK(spot(at(), "stale_map").facts.number("map_age_days") ==
          1588); // 1589 less the hours of the first day
    CHECK(at().route_facts.number("map_age_days") == 1588);
    CHECK(spot(at(), "stale_map").facts.text("map_date") == "2022-07-20");
    ground.sources[0].data_until.reset();
    CHECK(spots(at(), "map_date_unknown") == "0-200");
    CHECK_FALSE(at().route_facts.number("map_age_days"));
    ground.sources[0].data_until = "yesterday";
    CHECK(spots(at(), "map_date_unknown") == "0-200");
}

TEST_CASE("dates of maps") {
    CHECK(survey::time_of("1970-01-02") == 86400);
    CHECK(survey::time_of("2026-11-25T00:00:00Z") == k_today_s);
    CHECK_FALSE(survey::time_of("2026-13-01"));
    CHECK_FALSE(survey::time_of(""));
}

TEST_CASE("what the map lacks near the route, and what the route's reader found odd") {
    const Sketch map("A . B", 50, {"w1 Thighway=path NAB"});
    auto ground = map.ground();
    ground.shortfalls.push_back(
        {map::Shortfall::Kind::area_broken, {map::ObjectType::relation, 7}, map.at('B'), "a ring is open"});
    auto route = map.route_of("1:AB");
    route.oddities.push_back(
        {route::OddityKind::straight, 0, 100, 100, map.at('A'), 3, "a long straight leg"});
    const auto survey = survey::survey(route, ground, map.trace("1:AB"), region::load("england"), k_today_s);
    CHECK(spots(survey, "shortfall") == "200-200");
    CHECK(spot(survey, "shortfall").evidence.at(0).osm.id == 7);
    CHECK(spots(survey, "straight") == "0-100");
    CHECK(spot(survey, "straight").facts.text("detail") == "a long straight leg");
}

TEST_CASE("water that is not whole may lie nearer than what is known of it") {
    const Sketch map("A . . B\n. . . .\n. . . C", 100, {"w1 Thighway=path NAB"});
    const auto distance_m = [&](map::Shortfall::Concerns concerns) {
        auto ground = map.ground();
        ground.shortfalls.push_back({map::Shortfall::Kind::area_lacks_ways,
                                     {map::ObjectType::relation, 7},
                                     map.at('C'),
                                     "a ring is open",
                                     concerns,
                                     {map.at('C')}});
        const auto survey = survey::survey(map.route_of("1:AB"), ground, map.trace("1:AB"),
                                           region::load("england"), k_today_s);
        return spot(survey, "shortfall").facts.number("distance_m");
    };
    CHECK(distance_m(map::Shortfall::Concerns::near).value_or(0) == doctest::Approx(200).epsilon(0.01));
    CHECK_FALSE(distance_m(map::Shortfall::Concerns::around));
    CHECK_FALSE(distance_m(map::Shortfall::Concerns::all));
}

TEST_CASE("a layer that is empty all around is said to be unchecked") {
    const auto said = [](const std::string& tags, const std::string& word) {
        const Sketch map("A . B", 50, {"w1 T" + tags + " NAB"});
        const auto survey = surveyed(map, "1:AB");
        for (const std::string& line : survey.not_seen)
            if (line.find(word) != std::string::npos && line.find("No ") == 0) return true;
        return false;
    };
    CHECK(said("highway=tertiary", "speed limit"));
    CHECK_FALSE(said("highway=tertiary,maxspeed=50", "speed limit"));
    CHECK(said("highway=tertiary", "pavement"));
    CHECK_FALSE(said("highway=tertiary,sidewalk=both", "pavement"));
    CHECK(said("highway=path", "right on foot"));
    const Sketch map("A . B", 50, {"w1 Thighway=path NAB"});
    CHECK(surveyed(map, "1:AB").not_seen.back().find("not an approval") != std::string::npos);
}
