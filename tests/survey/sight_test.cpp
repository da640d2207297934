#include "survey/sight.hpp"
#include "surveyed.hpp"

#include <doctest/doctest.h>

#include <numbers>

using namespace waywarden;
using namespace waywarden::test;
using survey::RoadAhead;
using survey::RoadEnd;
using survey::sight_along;

namespace {

/// A road on a circle, from its lowest point round by an angle; vertices every so many metres.
RoadAhead circle(double radius_m, double step_m, double length_m, bool left = true) {
    RoadAhead out;
    for (double s = 0; s <= length_m; s += step_m) {
        const double a = s / radius_m;
        out.line.push_back({radius_m * std::sin(a), (left ? 1 : -1) * radius_m * (1 - std::cos(a))});
    }
    return out;
}

double formula_m(double radius_m, double clearance_m) {
    return 2 * radius_m * std::acos(1 - clearance_m / radius_m);
}

survey::Facts crossing_facts(const Sketch& map, std::string_view walk, int walkers = 7) {
    const auto made = survey::survey(map.route_of(walk), map.ground(), map.trace(walk),
                                     region::load("england"), k_today_s, {.walkers = walkers});
    return made.crossings.at(0).facts;
}

} // namespace

/// S = 2R acos(1 - m/R): R 60 m and m 2.5 m give 34.8 m (worked by hand).
TEST_CASE("sight on a bend of 60 m radius with 2.5 m clear is 34.8 m") {
    CHECK(formula_m(60, 2.5) == doctest::Approx(34.8).epsilon(0.002));
    CHECK(sight_along(circle(60, 0.5, 200), 2.5).metres == doctest::Approx(34.8).epsilon(0.01));
}

TEST_CASE("sight on circles is that of the formula, whichever way they bend, and grows with the clearance") {
    for (const double radius_m : {30.0, 60.0, 120.0, 250.0, 400.0})
        for (const double clearance_m : {1.5, 2.5, 4.0})
            for (const bool left : {true, false}) {
                const auto road = circle(radius_m, 1, 500, left);
                const double expected_m = formula_m(radius_m, clearance_m);
                CHECK(sight_along(road, clearance_m).metres == doctest::Approx(expected_m).epsilon(0.02));
                CHECK(sight_along(road, clearance_m).exact);
                CHECK(sight_along(road, clearance_m).metres < sight_along(road, clearance_m + 0.5).metres);
            }
}

TEST_CASE("vertices 10 m apart are good to a few metres; every point between lies within the clearance") {
    for (const double radius_m : {60.0, 120.0, 400.0}) {
        const auto road = circle(radius_m, 10, 500);
        const double got_m = sight_along(road, 2.5).metres;
        CHECK(std::abs(got_m - formula_m(radius_m, 2.5)) < 8);
        // The definition itself, by brute force over the line.
        const auto at = [&](double s) {
            for (std::size_t i = 0; i + 1 < road.line.size(); ++i) {
                const double piece_m = geo::length_m(road.line[i + 1] - road.line[i]);
                if (s <= piece_m) return road.line[i] + (s / piece_m) * (road.line[i + 1] - road.line[i]);
                s -= piece_m;
            }
            return road.line.back();
        };
        const auto widest_m = [&](double length_m) {
            double out = 0;
            for (double s = 0; s < length_m; s += 0.5)
                out =
                    std::max(out, geo::nearest_on_segment(at(s), road.line.front(), at(length_m)).distance_m);
            return out;
        };
        CHECK(widest_m(got_m) <= 2.51);
        CHECK(widest_m(got_m + 1) > 2.5);
    }
}

TEST_CASE("a straight road is seen to its end; a hairpin is not seen through") {
    CHECK(sight_along({{{0, 0}, {100, 0}, {600, 0}}, RoadEnd::limit}, 1.5).metres == 600);
    CHECK_FALSE(sight_along({{{0, 0}, {100, 0}}, RoadEnd::unread}, 1.5).exact);
    CHECK_FALSE(sight_along({{{0, 0}, {100, 0}}, RoadEnd::dead_end}, 1.5).matters);
    const auto hairpin = sight_along({{{0, 0}, {50, 0}, {50, 8}, {0, 8}}, RoadEnd::limit}, 1.5);
    CHECK(hairpin.metres < 53);
    CHECK(hairpin.metres > 50);
}

TEST_CASE("crossing a fast road in a bend: below the stopping sight distance; on the straight it is not") {
    // 50 m east of the crossing the road turns south.
    const Sketch bend(R"(
    ....P....
    A...B.C..
    ....Q....
    .........
    ......D.. )",
                      25, {"w1 Thighway=secondary,maxspeed=60%20%mph NABCD", "w2 Thighway=footway NPBQ"});
    const auto facts = crossing_facts(bend, "2:PBQ");
    CHECK(facts.text("sight_grade") == "below_stopping");
    CHECK(*facts.number("sight_high_m") < 151); // 60 mph, 2 s and 0.375 g
    CHECK(*facts.number("sight_high_m") >= *facts.number("sight_low_m"));
    CHECK(std::lround(*facts.number("stopping_sight_m")) == 151);

    const Sketch straight(R"(
    . . . . P . . . .
    A . . . B . . . C
    . . . . Q . . . . )",
                          100, {"w1 Thighway=secondary,maxspeed=60%20%mph NABC", "w2 Thighway=footway NPBQ"});
    const auto far = crossing_facts(straight, "2:PBQ", 2);
    CHECK(far.number("sight_low_m") == survey::k_sight_limit_m);
    CHECK(far.text("sight_grade") == "good"); // 6.5/1.07 + 3 + 2 = 11.1 s: 297 m
    CHECK(*far.number("sight_need_m") == doctest::Approx(297).epsilon(0.005));
    CHECK(crossing_facts(straight, "2:PBQ", 7).text("sight_grade") == "caution"); // 566 m
    CHECK(crossing_facts(straight, "2:PBQ", 30).text("sight_grade") == "short");  // 996 m
}

TEST_CASE("without a party the need is unknown, and so is the grade; without a limit too") {
    const Sketch map(R"(
    . . . . P . . . .
    A . . . B . . . C
    . . . . Q . . . . )",
                     100, {"w1 Thighway=secondary NABC", "w2 Thighway=footway NPBQ"});
    const auto facts = surveyed(map, "2:PBQ").crossings.at(0).facts;
    CHECK_FALSE(facts.number("sight_need_m"));
    CHECK(facts.text("sight_grade") == "unknown");
    CHECK(surveyed(map, "2:PBQ", "general").crossings.at(0).facts.text("sight_grade") == "unknown");
}

TEST_CASE("a road is followed into the next way, at a junction along the road of the same name") {
    const std::vector<std::string> ways{"w1 Thighway=secondary,ref=B%20%1,maxspeed=50%20%mph NAB",
                                        "w2 Thighway=secondary,ref=B%20%1,maxspeed=50%20%mph NBC",
                                        "w3 Thighway=unclassified NBE", "w4 Thighway=footway NPAQ",
                                        "w5 Thighway=secondary,ref=B%20%1,maxspeed=50%20%mph NAF"};
    const Sketch map(R"(
    ....P.........
    F...A.B.......
    ....Q........E
    ..............
    ........C..... )",
                     50, ways);
    // B 1 bends at B, 100 m away: from there only what one sees round the corner counts.
    const auto facts = crossing_facts(map, "4:PAQ");
    CHECK(*facts.number("sight_low_m") >= 100);
    CHECK(*facts.number("sight_low_m") < 130);
}

TEST_CASE("towards a junction traffic turns in slowly, and from a dead end none comes: both are left out") {
    const Sketch map(R"(
    D . . . J . . . E
    . . . . . . . . .
    . P . . A . . Q .
    . . . . . . . . .
    . . . . B . . . . )",
                     50,
                     {"w1 Thighway=residential,maxspeed=30%20%mph NJAB", "w2 Thighway=footway NPAQ",
                      "w3 Thighway=tertiary NDJE"});
    const auto facts = crossing_facts(map, "2:PAQ");
    CHECK_FALSE(facts.number("sight_low_m"));
    CHECK(facts.text("sight_grade") == "unknown");
}

TEST_CASE("a curve drawn with vertices far apart is unknown, never good") {
    const auto grade = [](const std::string& nodes) {
        const Sketch map(R"(
    ...P..........
    A..B...C......
    ...Q.......D..
    ..............
    ..............E )",
                         50,
                         {"w1 Thighway=secondary,maxspeed=50%20%mph N" + nodes, "w2 Thighway=footway NPBQ"});
        return crossing_facts(map, "2:PBQ").text("sight_grade");
    };
    CHECK(grade("ABCDE") == "unknown");
}

TEST_CASE("a road that may go on beyond what was read is not taken as its end") {
    const Sketch map(
        R"(
    .P........
    AB.......C
    .Q........ )",
        50, {"w1 Thighway=secondary,maxspeed=50%20%mph NABC", "w2 Thighway=footway NPBQ"}); // C is 400 m off
    CHECK_FALSE(crossing_facts(map, "2:PBQ").number("sight_low_m"));
}

TEST_CASE("walking round a blind bend without pavement; with one, or on the straight, nothing is said") {
    const auto made = [](const std::string& tags, const std::string& letters) {
        const Sketch map(R"(
    A...B.......C
    .............
    ....D........
    .............
    ....E........
    ....F........ )",
                         40, {"w1 T" + tags + " N" + letters});
        return surveyed(map, "1:" + letters);
    };
    const auto facts = [&](const std::string& tags, const std::string& letters) {
        return made(tags, letters).stretches.at(0).reading.facts;
    };
    const auto blind = [&](const std::string& tags, const std::string& letters) {
        return spots(made(tags, letters), "blind_bend");
    };
    const std::string lane = "highway=unclassified,maxspeed=60%20%mph";
    const auto bend = facts(lane, "ABDEF");
    CHECK(bend.text("sight_grade") == "below_stopping");
    CHECK(std::abs(*bend.number("sight_least_at_m") - 160) < 25); // the corner
    CHECK(facts("highway=unclassified", "ABDEF").number("sight_speed_kmh") ==
          doctest::Approx(64.37).epsilon(0.001)); // 40 mph, not its legal 60
    CHECK_FALSE(facts(lane + ",sidewalk=both", "ABDEF").get("sight_grade"));
    CHECK(facts(lane, "AC").text("sight_grade") != "below_stopping");
    CHECK(blind(lane, "AC").empty());
    CHECK(blind(lane + ",sidewalk=both", "ABDEF").empty());
    CHECK_FALSE(blind(lane, "ABDEF").empty());
    CHECK_FALSE(facts("highway=footway", "ABDEF").get("sight_grade"));
}
