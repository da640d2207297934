#include "error.hpp"
#include "match/between.hpp"
#include "support/sketch.hpp"

#include <doctest/doctest.h>

#include <cmath>

/// How a walker is presumed to choose is common practice, no source; what is checked here is that the walk
/// found is the one that follows from it on maps so small that one sees it.
namespace {

using namespace waywarden;
using test::Sketch;

/// A square with the place in its middle, on a grid whose north is the map's.
geo::GridSquare square_around(geo::Position middle, double size_m = 100) {
    const geo::LocalFrame frame(middle);
    return {frame.to_position({-size_m / 2, -size_m / 2}), middle, size_m};
}

/// A card over the letters, a square of 100 m around each.
match::CardPlan card(const Sketch& sketch, std::string_view letters) {
    match::CardPlan plan;
    plan.name = "card";
    for (const char letter : letters)
        plan.checkpoints.push_back({std::string(1, letter), square_around(sketch.at(letter)), 1});
    plan.legs.resize(plan.checkpoints.size() - 1);
    return plan;
}

std::string ways(const Sketch& sketch, const match::LegWalk& walk) {
    std::string out;
    for (const map::WayIndex way : walk.ways)
        out += (out.empty() ? "w" : " w") + std::to_string(sketch.ground().ways[way].object.id.id);
    return out;
}

// A lake between A and B: a way round it to the north (w1) and a longer one to the south (w2).
const char* const k_lake = R"(
    . . . C . . D . . . .
    . . . . . . . . . . .
    . . . . . . . . . . .
    A . . . . . . . . . B
    . . . . . . . . . . .
    . . . . . . . . . . .
    . . . . . . . . . . .
    . . . . . . . . . . .
    . . . . . . . . . . .
    . . . . E . F . . . .
)";
const std::vector<std::string> k_round_the_lake{"w1 Thighway=footway,name=North%20%Shore NACDB",
                                                "w2 Thighway=footway,name=South%20%Shore NAEFB"};

} // namespace

TEST_CASE("two ways round a lake: the shorter is likelier, the other is told") {
    const Sketch sketch(k_lake, 50, k_round_the_lake);
    const auto found = match::between(card(sketch, "AB"), sketch.ground());
    REQUIRE(found.legs.size() == 1);
    const match::LegWays& leg = found.legs.front();
    CHECK(ways(sketch, leg.likeliest) == "w1");
    CHECK(leg.likeliest.length_m == doctest::Approx(test::metres_over(sketch, "ACDB")).epsilon(0.001));
    CHECK_FALSE(leg.guessed);
    REQUIRE(leg.others.size() == 1);
    CHECK(ways(sketch, leg.others.front()) == "w2");
    CHECK(leg.others.front().by == "South Shore");
    CHECK(leg.others.front().length_m == doctest::Approx(test::metres_over(sketch, "AEFB")).epsilon(0.001));
    CHECK_FALSE(leg.more);

    CHECK(found.route.read_as == "card");
    REQUIRE(found.route.segments.size() == 1);
    CHECK(found.route.segments.front().points.size() == 4);
    CHECK(found.route.oddities.empty());
    REQUIRE(found.route.waypoints.size() == 2);
    CHECK(found.route.waypoints.back().name == "B");
    CHECK(geo::distance_m(found.route.waypoints.back().position, sketch.at('B')) < 1);
}

TEST_CASE("the card's distance speaks for the longer way") {
    const Sketch sketch(k_lake, 50, k_round_the_lake);
    auto plan = card(sketch, "AB");
    plan.legs.front().distance_m = test::metres_over(sketch, "AEFB");
    plan.legs.front().distance_step_m = 10;
    const auto found = match::between(plan, sketch.ground());
    CHECK(ways(sketch, found.legs.front().likeliest) == "w2");
    REQUIRE(found.legs.front().others.size() == 1);
    CHECK(ways(sketch, found.legs.front().others.front()) == "w1");
}

TEST_CASE("a path is likelier than a main road that is shorter, and the road is told") {
    const Sketch sketch(R"(
        . . . C . . D . . .
        . . . . . . . . . .
        A . . . . . . . . B
    )",
                        50, {"w1 Thighway=primary,ref=A9999 NAB", "w2 Thighway=footway NACDB"});
    const auto found = match::between(card(sketch, "AB"), sketch.ground());
    const match::LegWays& leg = found.legs.front();
    CHECK(ways(sketch, leg.likeliest) == "w2");
    REQUIRE(leg.others.size() == 1);
    CHECK(leg.others.front().by == "A9999");
    CHECK(leg.others.front().length_m < leg.likeliest.length_m);
}

TEST_CASE("never a motorway or a railway, and what is forbidden only where there is nothing else") {
    const char* const drawing = R"(
        . . . C . . D . . .
        . . . . . . . . . .
        . . . . . . . . . .
        A . . . . . . . . B
    )";
    const auto way_taken = [&](const std::vector<std::string>& objects) {
        const Sketch sketch(drawing, 50, objects);
        const auto found = match::between(card(sketch, "AB"), sketch.ground());
        CHECK(found.legs.front().others.empty());
        return found.legs.front().guessed ? "guess" : ways(sketch, found.legs.front().likeliest);
    };
    const std::string round = "w2 Thighway=footway NACDB";
    CHECK(way_taken({"w1 Thighway=motorway NAB", round}) == "w2");
    CHECK(way_taken({"w1 Trailway=rail NAB", round}) == "w2");
    CHECK(way_taken({"w1 Thighway=track,access=private NAB", round}) == "w2");
    CHECK(way_taken({"w1 Thighway=track,access=private NAB"}) == "w1");
    CHECK(way_taken({"w1 Thighway=motorway NAB"}) == "guess");
    CHECK(way_taken({"w1 Trailway=rail NAB"}) == "guess");
    CHECK(way_taken({"w1 Thighway=proposed,proposed=footway NAB"}) == "guess");
}

TEST_CASE("where no way joins two squares the straight line is taken and said to be a guess") {
    const Sketch sketch(R"(
        C . . . . . . . D
        . . . . . . . . .
        A . . . . . . . B
    )",
                        100, {"w1 Thighway=footway NAC", "w2 Thighway=footway NBD"});
    const auto found = match::between(card(sketch, "CABD"), sketch.ground());
    REQUIRE(found.legs.size() == 3);
    CHECK_FALSE(found.legs[0].guessed);
    CHECK(found.legs[1].guessed);
    CHECK_FALSE(found.legs[2].guessed);
    REQUIRE(found.route.oddities.size() == 1);
    const route::Oddity& oddity = found.route.oddities.front();
    CHECK(oddity.kind == route::OddityKind::guessed);
    CHECK(oddity.text ==
          "No way that joins A and B was found on the map: the straight line between them is a "
          "guess.");
    const double from_m = test::metres_over(sketch, "CA");
    CHECK(oddity.from_m == doctest::Approx(from_m).epsilon(0.001));
    CHECK(oddity.to_m == doctest::Approx(from_m + test::metres_over(sketch, "AB")).epsilon(0.001));
}

TEST_CASE(
    "a way many times as long as the straight line is no likely walk, unless the card's distance says so") {
    // From A to B 700 m over the moor, 1500 m round.
    const Sketch sketch(R"(
        C . . . . . . . D
        . . . . . . . . .
        . . . . . . . . .
        . . . . . . . . .
        . . . . . . . . .
        . . . . . . . . .
        . . . . . . . . .
        . . . . . . . . .
        A . . . . . . . B
    )",
                        50, {"w1 Thighway=footway NACDB"});
    auto plan = card(sketch, "AB");
    CHECK_FALSE(match::between(plan, sketch.ground()).legs.front().guessed);

    const Sketch moor(R"(
        C . . . . . . . . . . . . . . . . . . . D
        A . . . . . . . . . . . . . . . . . . . .
        . . . . . . . . . . . . . . . . . . . . .
        . . . . . . . . . . . . . . . . . . . . .
        . . . . . . . . . . . . . . . . . . . . .
        B . . . . . . . . . . . . . . . . . . . E
    )",
                      25, {"w1 Thighway=footway NACDEB"});
    plan = card(moor, "AB");
    const auto straight = match::between(plan, moor.ground());
    CHECK(straight.legs.front().guessed);
    REQUIRE(straight.legs.front().others.size() == 1); // the way round is checked too
    CHECK(ways(moor, straight.legs.front().others.front()) == "w1");
    CHECK(straight.legs.front().why.find("a straight line over open ground was taken, as a guess") !=
          std::string::npos);
    plan.legs.front().distance_m = 2150;
    const auto round = match::between(plan, moor.ground());
    CHECK_FALSE(round.legs.front().guessed);
    CHECK(ways(moor, round.legs.front().likeliest) == "w1");
}

TEST_CASE("a square without a way: straight to the nearest, and said") {
    const Sketch sketch(R"(
        . . . C . . .
        . . . . . . .
        . . . . . . .
        . . . . . . .
        A . . . . . B
    )",
                        50, {"w1 Thighway=footway NAB"});
    const auto found = match::between(card(sketch, "ACB"), sketch.ground());
    REQUIRE(found.route.oddities.size() == 1);
    const route::Oddity& oddity = found.route.oddities.front();
    CHECK(oddity.kind == route::OddityKind::no_way_there);
    CHECK(oddity.text ==
          "There is no way in the square of C on the map: the straight line between its middle "
          "and the nearest way, 200 m off, is a guess.");
    CHECK(oddity.length_m == doctest::Approx(400).epsilon(0.005));
    CHECK(geo::distance_m(found.route.waypoints[1].position, sketch.at('C')) < 1);
    // There and back.
    const double there_m = test::metres_over(sketch, "AB") / 2 + 200;
    CHECK(found.legs[0].likeliest.length_m == doctest::Approx(there_m).epsilon(0.005));
    CHECK(found.legs[1].likeliest.length_m == doctest::Approx(there_m).epsilon(0.005));
}

TEST_CASE("of two paths in a square the one is taken that the whole walk goes by") {
    // C's square holds both; only w2 leads on.
    const Sketch sketch(R"(
        A . . . . . . .
        . . . . . . . .
        . . . . C . . E
        D . . . F . . B
        . . . . . . . .
        . . . . . . . .
    )",
                        30, {"w1 Thighway=footway NCE", "w2 Thighway=footway NADFB"});
    const auto found = match::between(card(sketch, "ACB"), sketch.ground());
    CHECK(found.route.oddities.empty());
    CHECK(ways(sketch, found.legs[0].likeliest) == "w2");
    CHECK(ways(sketch, found.legs[1].likeliest) == "w2");
    // Where the way comes nearest to the middle of the square.
    CHECK(geo::distance_m(found.route.waypoints[1].position, sketch.at('F')) < 3);
}

TEST_CASE("a checkpoint at a path's end is gone to and come back from") {
    const Sketch sketch(R"(
        . . . C . . .
        . . . . . . .
        . . . . . . .
        . . . . . . .
        A . . D . . B
    )",
                        50, {"w1 Thighway=footway NADB", "w2 Thighway=footway NDC"});
    const auto found = match::between(card(sketch, "ACB"), sketch.ground());
    CHECK(ways(sketch, found.legs[0].likeliest) == "w1 w2");
    CHECK(ways(sketch, found.legs[1].likeliest) == "w2 w1");
    CHECK(geo::distance_m(found.route.waypoints[1].position, sketch.at('C')) < 1);
    CHECK(found.route.oddities.empty());
}

TEST_CASE("a place without a reference makes the legs beside it a guess") {
    const Sketch sketch(k_lake, 50, k_round_the_lake);
    auto plan = card(sketch, "ACB");
    plan.checkpoints[1].square.reset();
    const auto found = match::between(plan, sketch.ground());
    REQUIRE(found.legs.size() == 2);
    CHECK(found.legs[0].guessed);
    CHECK(found.legs[1].guessed);
    REQUIRE(found.route.oddities.size() == 1);
    CHECK(found.route.oddities.front().text ==
          "The card gives no reference that can be read for C: the walk from A past it to B is a guess.");

    plan = card(sketch, "CAB");
    plan.checkpoints[0].square.reset();
    const auto from_second = match::between(plan, sketch.ground());
    CHECK(from_second.legs[0].guessed);
    CHECK_FALSE(from_second.legs[1].guessed);
    REQUIRE(from_second.route.oddities.size() == 1);
    CHECK(from_second.route.oddities.front().text ==
          "The card gives no reference that can be read for C: the leg from C to A was not checked.");

    plan.checkpoints[1].square.reset();
    CHECK_THROWS_AS(match::between(plan, sketch.ground()), DataError);
}

TEST_CASE("two places in one square: what is walked between them is not known") {
    const Sketch sketch(k_lake, 50, k_round_the_lake);
    const auto found = match::between(card(sketch, "AAB"), sketch.ground());
    CHECK(found.legs[0].guessed);
    CHECK(found.legs[0].likeliest.length_m == 0);
    CHECK_FALSE(found.legs[1].guessed);
}

TEST_CASE("a card's legs become checkpoints, and a break between two legs is told") {
    const Sketch sketch(k_lake, 50, k_round_the_lake);
    const auto place = [&](char letter) {
        return route::CardPlace{std::string(1, letter), "ref", square_around(sketch.at(letter))};
    };
    route::Card paper;
    paper.legs.resize(3);
    paper.legs[0].from = place('A');
    paper.legs[0].to = paper.legs[1].from = place('C');
    paper.legs[1].to = place('D');
    paper.legs[2].from = place('B');
    paper.legs[2].to = place('F');
    paper.legs[1].distance_m = 150;
    paper.path = "cards/team-day-1.csv";
    CHECK(match::plan_of(paper).name == "team-day-1");
    paper.team = "Fulmar";
    paper.day = "1";
    const auto plan = match::plan_of(paper);
    CHECK(plan.name == "Fulmar, day 1");
    REQUIRE(plan.checkpoints.size() == 5);
    REQUIRE(plan.legs.size() == 4);
    CHECK(plan.legs[1].distance_m == 150);
    CHECK_FALSE(plan.legs[2].on_card);
    const auto found = match::between(plan, sketch.ground());
    CHECK(found.legs[2].guessed);
    CHECK(found.legs[2].why ==
          "The card breaks off at D and goes on at B: the walk between them is a guess.");
}

TEST_CASE("no walk leaves the part of the map that is looked at") {
    // One character across is as far as one line down: CD is 2 km off AB, farther below 4 km.
    const Sketch sketch(R"(
        C . D
        . . .
        A . B
    )",
                        990, {"w1 Thighway=footway NACDB"});
    auto plan = card(sketch, "AB");
    CHECK(match::reach_m(plan) == doctest::Approx(1990).epsilon(0.001));
    CHECK_FALSE(match::between(plan, sketch.ground()).legs.front().guessed);
    const Sketch farther(R"(
        C . . . D
        . . . . .
        . . . . .
        . . . . .
        A . . . B
    )",
                         1000, {"w1 Thighway=footway NACDB"});
    plan = card(farther, "AB");
    plan.legs.front().distance_m = test::metres_over(farther, "ACDB");
    CHECK(match::reach_m(plan) < 4000);
    CHECK(match::between(plan, farther.ground()).legs.front().guessed);
}

TEST_CASE("an empty map gives guesses, not failures") {
    const Sketch sketch("A . . . . . . . B", 100, {"w1 Thighway=footway NAB"});
    const auto found = match::between(card(sketch, "AB"), map::Ground{});
    CHECK(found.legs.front().guessed);
    CHECK(found.route.oddities.size() == 3);
    CHECK(found.route.segments.front().points.size() == 2);
}
