#include "surveyed.hpp"

#include <doctest/doctest.h>

using namespace waywarden;
using namespace waywarden::test;

namespace {

survey::Facts facts_of(const std::string& tags, const std::string& region = "england") {
    const Sketch map("A . . . B", 50, {"w1 T" + tags + " NAB"});
    return surveyed(map, "1:AB", region).stretches.at(0).reading.facts;
}

} // namespace

TEST_CASE("a stretch on a road: class, speed and where it comes from, pavement") {
    const auto facts =
        facts_of("highway=tertiary,name=Skerry%20%Lane,maxspeed=60%20%mph,sidewalk=no,lanes=2");
    CHECK(facts.text("access") == "minor_road");
    CHECK(facts.text("name") == "Skerry Lane");
    CHECK(*facts.number("speed_limit_kmh") == doctest::Approx(96.56).epsilon(0.001));
    CHECK(facts.text("speed_limit_source") == "recorded");
    CHECK(facts.text("pavement") == "none");
    CHECK(facts.number("lanes") == 2);
    CHECK(facts.flag("pavement_beside") == false);
    CHECK_FALSE(facts_of("highway=tertiary").get("pavement")); // silence is not "none"
    CHECK(facts_of("highway=unclassified,motor_vehicle=no").flag("closed_to_motors") == true);
    CHECK_FALSE(facts_of("highway=unclassified,motor_vehicle=no,bus=yes").flag("closed_to_motors"));
    CHECK_FALSE(facts_of("highway=unclassified,motor_vehicle=private").flag("closed_to_motors"));
    CHECK_FALSE(facts_of("highway=trunk,motor_vehicle=no").flag("closed_to_motors"));
    CHECK(facts_of("highway=tertiary").text("speed_limit_source") == "presumed");
}

TEST_CASE("centimetres of a road at which a path begins or ends are the path's, line and all") {
    const Sketch map("AB....CD", 0.3,
                     {"w1 Thighway=tertiary NAB", "w2 Thighway=path NBC", "w3 Thighway=tertiary NCD"});
    for (const auto& [walk, points] :
         {std::pair{"1:AB 2:BC", 3u}, {"2:BC 3:CD", 3u}, {"1:AB 2:BC 3:CD", 4u}}) {
        CAPTURE(walk);
        const auto stretches = surveyed(map, walk).stretches;
        REQUIRE(stretches.size() == 1);
        CHECK(stretches[0].reading.access == map::Access::footpath);
        CHECK(stretches[0].from_m == 0);
        CHECK(stretches[0].line.size() == points);
        CHECK(stretches[0].line.back().at_m == doctest::Approx(stretches[0].to_m));
    }
}

TEST_CASE("what a path records of itself") {
    const auto facts =
        facts_of("highway=path,sac_scale=demanding_mountain_hiking,trail_visibility=bad,surface=rock");
    CHECK(facts.text("access") == "footpath");
    CHECK(facts.number("sac_grade") == 3);
    CHECK(facts.text("trail_visibility") == "bad");
    CHECK(facts.text("surface") == "rock");
    CHECK(facts_of("highway=construction,construction=footway").text("lifecycle") == "construction");
    CHECK(facts_of("highway=footway").text("lifecycle") == "in_use");
    CHECK(facts_of("highway=footway,foot:conditional=no%20%@%20%(Nov-Feb)").text("conditional") ==
          "foot:conditional=no @ (Nov-Feb)");
}

TEST_CASE("a footway mapped beside the road is seen; one that only crosses it is not") {
    const auto beside = [](const std::string& letters, const std::string& tags) {
        const Sketch map(R"(
    . . P . .
    C . . . D
    A . . . B
    . . Q . . )",
                         10, {"w1 Thighway=secondary NAB", "w2 T" + tags + " N" + letters});
        return surveyed(map, "1:AB").stretches.at(0).reading.facts.flag("pavement_beside");
    };
    CHECK(beside("CD", "highway=footway,footway=sidewalk") == true);
    CHECK(beside("CD", "highway=path") == true);
    CHECK(beside("CD", "highway=construction,construction=footway") == false);
    CHECK(beside("PQ", "highway=footway") == false);
}

TEST_CASE("a gate may take away what the way gives, but a word for vehicles does not undo a right of way") {
    const auto right = [](const std::string& way, const std::string& gate) {
        const Sketch map("A . G . B", 50, {"w1 Thighway=track" + way + " NAGB", "nG Tbarrier=gate" + gate});
        return surveyed(map, "1:AGB").stretches.at(0).reading.facts.text("right");
    };
    CHECK(right(",designation=public_footpath", "") == "recorded");
    CHECK(right(",designation=public_footpath", ",access=private") == "recorded");
    CHECK(right(",designation=public_footpath", ",foot=no") == "forbidden");
    CHECK(right(",foot=permissive", ",access=no") == "forbidden");
}

TEST_CASE("open ground: what lies under it, and where the region lets walkers roam") {
    const Sketch map(R"(
    A . . . B
    x . y . z
    C . . . D )",
                     50, {"w1 Tlanduse=farmland NABDCA"});
    const auto england = surveyed(map, "-:xz", "england").stretches.at(0);
    CHECK(england.reading.access == map::Access::open_ground);
    CHECK_FALSE(england.reading.osm);
    CHECK(england.reading.facts.text("ground") == "farmland");
    CHECK(england.reading.facts.text("right") == "unknown");
    CHECK(surveyed(map, "-:xz", "scotland").stretches.at(0).reading.facts.text("right") == "open_access");
    const Sketch yard(R"(
    A . . . B
    x . y . z
    C . . . D )",
                      50, {"w1 Tlanduse=farmland NABDCA", "w2 Tlanduse=farmyard NABDCA"});
    const auto scotland = surveyed(yard, "-:xz", "scotland").stretches.at(0);
    CHECK(scotland.reading.facts.text("ground") == "farmyard");
    CHECK(scotland.reading.facts.text("right") == "unknown");
}

TEST_CASE("other readings of the line come with their own facts, and one of another danger is a spot") {
    const Sketch map(R"(
    C . . . D
    A . . . B )",
                     10, {"w1 Thighway=footway,designation=public_footpath NCD", "w2 Thighway=trunk NAB"});
    auto trace = map.trace("1:CD");
    trace.stretches[0].confidence = 0.6;
    trace.stretches[0].others = {{map.way(2), 0.4, 0, trace.length_m}};
    const auto survey =
        survey::survey(map.route_of("1:CD"), map.ground(), trace, region::load("england"), k_today_s);
    REQUIRE(survey.stretches[0].others.size() == 1);
    CHECK(survey.stretches[0].others[0].access == map::Access::major_road);
    CHECK(survey.stretches[0].others[0].facts.text("access") == "major_road");
    CHECK(spot(survey, "ambiguous_reading").facts.number("probability") == doctest::Approx(0.4));
    trace.stretches[0].others[0].probability = 0.2;
    const auto sure =
        survey::survey(map.route_of("1:CD"), map.ground(), trace, region::load("england"), k_today_s);
    CHECK(spots(sure, "ambiguous_reading") == "");
}

TEST_CASE("position along the drawn line, clamped to its ends") {
    const Sketch map("A . B . C", 50, {"w1 Thighway=path NABC"});
    const auto route = map.route("AC");
    CHECK(survey::position_at(route, 0) == map.at('A'));
    CHECK(survey::position_at(route, -5) == map.at('A'));
    CHECK(survey::position_at(route, 1e9) == map.at('C'));
    CHECK(survey::position_at(route, 200).lon_deg == doctest::Approx(map.at('B').lon_deg).epsilon(1e-9));
}
