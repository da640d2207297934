#include "report/changes.hpp"
#include "season.hpp"

#include <doctest/doctest.h>

#include <algorithm>

using namespace waywarden;
using survey::CrossingOf;
using survey::Means;

namespace {

std::vector<Change> changes(const Assessed& now, const Assessed& before) {
    return report::changes_of(now.survey, before.survey).changes;
}

std::vector<Change> lesser(const Assessed& now, const Assessed& before) {
    return report::changes_of(now.survey, before.survey).lesser;
}

std::string only(const std::vector<Change>& all) {
    REQUIRE(all.size() == 1);
    return all.front().text;
}

void along(Assessed& route, std::size_t stretch, const char* fact, const char* value) {
    route.survey.stretches[stretch].reading.facts.set(fact, std::string(value));
}

} // namespace

TEST_CASE("a map that is drawn, numbered or cut otherwise has not changed") {
    const Assessed before = test::one_walk();
    CHECK(changes(before, before).empty());
    CHECK(changes(test::one_walk(0, 1000), before).empty()); // renumbered
    CHECK(changes(test::one_walk(8), before).empty());       // redrawn by 8 m
    Assessed split = before;
    split.survey.stretches[1] = test::walked(500, 730, 2);
    split.survey.stretches.insert(split.survey.stretches.begin() + 2, test::walked(730, 1000, 99));
    CHECK(changes(split, before).empty());
    CHECK(changes(before, split).empty());
}

TEST_CASE("a removed bridge, a new gate and a gate now locked") {
    Assessed before = test::one_walk(), now = before;
    before.survey.crossings = {test::crossed(700, CrossingOf::water, Means::bridge, 70)};
    now.survey.crossings = {test::crossed(702, CrossingOf::water, Means::none, 71)};
    CHECK(only(changes(now, before)) == "water Skua Burn: was bridge, now no way over in the map");
    now.survey.crossings = before.survey.crossings;
    now.survey.spots = {test::gate(1200, false)};
    CHECK(only(changes(now, before)) == "newly shown: gate");
    CHECK(only(changes(before, now)) == "gone from the map: gate");
    before.survey.spots = {test::gate(1190, false)};
    CHECK(changes(now, before).empty()); // moved by 10 m
    now.survey.spots = {test::gate(1200, true)};
    CHECK(only(changes(now, before)) == "was gate, now gate, locked");
}

TEST_CASE("a designation gone, and a lane's limit lowered") {
    Assessed before = test::one_walk(), now = before;
    along(now, 2, "right", "unknown");
    const std::vector<Change> all = changes(now, before);
    CHECK(only(all) == "right on foot of Skua Lane was recorded, now is not recorded");
    CHECK(all.front().from_m == doctest::Approx(1000).epsilon(0.01));
    CHECK(all.front().to_m == doctest::Approx(1500).epsilon(0.01));

    now = before;
    for (Assessed* one : {&before, &now})
        along(*one, 0, "speed_limit_source", "recorded");
    along(before, 0, "speed_limit", "60 mph");
    along(now, 0, "speed_limit", "30 mph");
    CHECK(only(changes(now, before)) == "speed limit of Skua Lane was 60 mph, now 30 mph");
    along(before, 0, "speed_limit_source", "presumed"); // merely recorded now
    CHECK(changes(now, before).empty());
    CHECK(only(lesser(now, before)) == "speed limit of Skua Lane was not recorded, now 30 mph");
}

TEST_CASE("a change of less than 50 m is told as a reason and not as a change") {
    Assessed before = test::one_walk(), now = before;
    now.survey.stretches[1] = test::walked(500, 960, 2);
    now.survey.stretches.insert(now.survey.stretches.begin() + 2, test::walked(960, 1000, 99));
    along(now, 2, "right", "restricted");
    CHECK(changes(now, before).empty());
    CHECK(lesser(now, before).size() == 1);
}

TEST_CASE("a way found or lost is told once, rail and water at the place as well") {
    Assessed before = test::one_walk(), now = before;
    before.survey.stretches[1].reading.access = map::Access::open_ground;
    before.survey.stretches[1].reading.facts = {};
    before.survey.crossings = {test::crossed(700, CrossingOf::road, Means::none, 70)};
    CHECK(only(changes(now, before)) == "no way was found along the line here, now Skua Lane (footpath)");
    CHECK(only(changes(before, now)) ==
          "the line ran along Skua Lane (footpath), now no way is found along it");
    before.survey.crossings.push_back(test::crossed(800, CrossingOf::rail, Means::none, 80));
    now.survey.crossings = {test::crossed(800, CrossingOf::rail, Means::level, 80)};
    CHECK(changes(now, before).size() == 2);
}

TEST_CASE("a road walked along is crossed as before, wherever along it that is listed") {
    Assessed before = test::one_walk(), now = before;
    before.survey.crossings = {test::crossed(1100, CrossingOf::road, Means::level, 70)};
    now.survey.crossings = {test::crossed(1400, CrossingOf::road, Means::level, 71)};
    for (Assessed* one : {&before, &now})
        one->survey.crossings.front().name = one->survey.stretches[2].reading.name;
    CHECK(changes(now, before).empty());
    // Another road, or one that is not walked along, is crossed or not at its place.
    now.survey.crossings.front().name = "Gannet Street";
    CHECK(changes(now, before).size() == 2);
}

TEST_CASE("ground newly entered, and ground no longer") {
    Assessed before = test::one_walk(), now = before;
    survey::Spot area;
    area.from_m = 600, area.to_m = 640;
    area.position = test::on_ground(600);
    area.name = "Skua Point";
    area.facts.set("kind", std::string("danger_area"));
    area.facts.set("within", true);
    now.survey.spots = {area};
    CHECK(only(changes(now, before)) == "newly shown: danger area Skua Point");
    CHECK(only(changes(before, now)) == "gone from the map: danger area Skua Point");
    before.survey.spots = {area};
    before.survey.spots.front().from_m = 560; // entered sooner
    before.survey.spots.front().position = test::on_ground(560);
    CHECK(changes(now, before).empty());
}

TEST_CASE("a line drawn otherwise for 300 m") {
    const Assessed before = test::one_walk();
    Assessed now = before;
    now.survey.stretches[1] = test::walked(500, 800, 90, 200);
    now.survey.stretches.insert(now.survey.stretches.begin() + 2, test::walked(800, 1000, 2));
    const std::vector<Change> all = changes(now, before);
    CHECK(only(all).find("did not come here before") != std::string::npos);
    CHECK(all.front().to_m - all.front().from_m == doctest::Approx(300).epsilon(0.05));
}

TEST_CASE("a walk out and back keeps its two passes apart") {
    Assessed before = test::one_walk();
    before.survey.stretches = {test::walked(0, 1000, 1), test::walked(0, 1000, 2)};
    std::reverse(before.survey.stretches[1].line.begin(), before.survey.stretches[1].line.end());
    before.survey.stretches[1].from_m = 1000;
    before.survey.stretches[1].to_m = 2000;
    along(before, 1, "surface", "gravel");
    CHECK(changes(before, before).empty());
    Assessed now = before;
    along(now, 1, "surface", "mud");
    const std::vector<Change> all = changes(now, before);
    REQUIRE(!all.empty());
    for (const Change& one : all)
        CHECK(one.from_m >= 990);
}
