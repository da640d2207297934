#include "report/compare.hpp"
#include "season.hpp"

#include <doctest/doctest.h>

using namespace waywarden;
using rules::State;

namespace {

/// The route now, compared with `before`.
Assessed compared(Assessed now, Assessed before) {
    Assessment whole = test::season(std::move(now));
    report::compare(whole, test::season(std::move(before)));
    return whole.routes.front();
}

Assessed with(Assessed route, std::vector<rules::Finding> findings) {
    route.findings = std::move(findings);
    return route;
}

State state_of(const rules::Finding& now, const rules::Finding& before) {
    return compared(with(test::one_walk(), {now}), with(test::one_walk(), {before})).findings.front().state;
}

} // namespace

TEST_CASE("the same finding on ways split, renumbered or redrawn by 8 m") {
    const rules::Finding was = test::found("fast-road-without-pavement", 500, 900, 2);
    CHECK(state_of(was, was) == State::unchanged);
    CHECK(state_of(test::found("fast-road-without-pavement", 500, 900, 4711), was) == State::unchanged);
    CHECK(state_of(test::found("fast-road-without-pavement", 508, 905, 4711, 8), was) == State::unchanged);
    rules::Finding split = was;
    split.evidence = {{{map::ObjectType::way, 2}, {}, 0}, {{map::ObjectType::way, 99}, {}, 0}};
    CHECK(state_of(split, was) == State::unchanged);
    CHECK(state_of(was, split) == State::unchanged);
    CHECK(state_of(test::found("ford", 500, 900, 2), was) == State::fresh);
    CHECK(state_of(test::found("fast-road-without-pavement", 1500, 1900, 4), was) == State::fresh);
}

TEST_CASE("a piece that shrank to less than half is the same where the object is") {
    const rules::Finding was = test::found("quarry-entered", 400, 1100, 7);
    CHECK(state_of(test::found("quarry-entered", 950, 1090, 7), was) == State::unchanged);
    CHECK(state_of(test::found("quarry-entered", 950, 1090, 8), was) == State::fresh);
}

TEST_CASE("what got worse is new, and says what it was") {
    rules::Finding was = test::found("fast-road-without-pavement", 500, 600, 2), now = was;
    was.level = rules::Level::note;
    Assessed one = compared(with(test::one_walk(), {now}), with(test::one_walk(), {was}));
    CHECK(one.findings.front().state == State::fresh);
    CHECK(one.findings.front().state_why == "it was here before as a note");
    CHECK(one.absent.empty());
    CHECK(state_of(was, now) == State::unchanged); // better
    now = was;
    now.to_m += 51;
    CHECK(state_of(now, was) == State::fresh);
    now.to_m -= 2;
    CHECK(state_of(now, was) == State::unchanged);
    now = was;
    now.count = 3;
    CHECK(state_of(now, was) == State::fresh);
}

TEST_CASE("what was gathered into one finding is its parts") {
    rules::Finding all = test::found("lane-with-presumed-limit", 100, 1800, 1);
    all.count = 3;
    all.evidence.push_back({{map::ObjectType::way, 3}, {}, 0});
    const rules::Finding first = test::found("lane-with-presumed-limit", 100, 300, 1),
                         last = test::found("lane-with-presumed-limit", 1600, 1800, 3);
    const Assessed parted = compared(with(test::one_walk(), {first, last}), with(test::one_walk(), {all}));
    CHECK(parted.absent.empty());
    CHECK(parted.findings[0].state == State::unchanged);
    CHECK(parted.findings[1].state == State::unchanged);
    const Assessed joined = compared(with(test::one_walk(), {all}), with(test::one_walk(), {first, last}));
    CHECK(joined.absent.empty());
    CHECK(joined.findings[0].state_why == "one place was found before, now 3");
}

TEST_CASE("the reason: the bridge is gone") {
    using survey::CrossingOf, survey::Means;
    Assessed before = test::one_walk(), now = before;
    before.survey.crossings = {test::crossed(700, CrossingOf::water, Means::bridge, 70)};
    now.survey.crossings = {test::crossed(700, CrossingOf::water, Means::none, 70)};
    now.findings = {test::found("water-with-no-way-over", 700, 700, 70)};
    const Assessed one = compared(now, before);
    CHECK(one.findings.front().state == State::fresh);
    CHECK(one.findings.front().state_why ==
          "the map says otherwise here: water Skua Burn: was bridge, now no way over in the map");
    const Assessed back = compared(before, now);
    REQUIRE(back.absent.size() == 1);
    CHECK(back.absent.front().state_why ==
          "the map says otherwise here: water Skua Burn: was no way over in the map, now bridge");
    CHECK(back.changes.size() == 1);
}

TEST_CASE("the reason: a point is not explained by a long piece where a point changed too") {
    Assessed before = test::one_walk(), now = before;
    now.survey.stretches[1].reading.facts.set("right", std::string("restricted"));
    now.survey.spots = {test::gate(700, true)};
    now.findings = {test::found("gate-locked", 700, 700, 70), test::found("walking-forbidden", 500, 1000, 2)};
    const Assessed one = compared(now, before);
    CHECK(one.findings[0].state_why == "the map says otherwise here: newly shown: gate, locked");
    CHECK(one.findings[1].state_why.find("right on foot") != std::string::npos);
}

TEST_CASE("the reason: the line was drawn otherwise for 300 m") {
    const Assessed before = with(test::one_walk(), {test::found("farmyard-crossed", 600, 650, 2)});
    Assessed now = test::one_walk();
    now.survey.stretches[1] = test::walked(500, 800, 90, 200);
    now.survey.stretches.insert(now.survey.stretches.begin() + 2, test::walked(800, 1000, 2));
    now.findings = {test::found("farmyard-crossed", 600, 650, 90, 200)};
    const Assessed one = compared(now, before);
    CHECK(one.findings.front().state == State::fresh); // as far along, and 200 m away on the ground
    CHECK(one.findings.front().state_why == "the line did not come here before");
    REQUIRE(one.absent.size() == 1);
    CHECK(one.absent.front().state_why == "the line no longer comes here");
}

TEST_CASE("out and back: one of two passes that are gone is gone") {
    const rules::Finding out = test::found("ford", 700, 700, 70);
    rules::Finding back = out;
    back.from_m = back.to_m = 1300; // at the same place
    const Assessed one = compared(with(test::one_walk(), {back}), with(test::one_walk(), {out, back}));
    CHECK(one.findings.front().state == State::unchanged);
    REQUIRE(one.absent.size() == 1);
    CHECK(one.absent.front().from_m == 700);
}

TEST_CASE("an earlier result without walks is compared by findings, without reasons") {
    Assessed before = with(test::one_walk(), {test::found("ford", 700, 700, 70)});
    before.survey.stretches.clear();
    const Assessed one = compared(with(test::one_walk(), {test::found("stile", 100, 100, 5)}), before);
    CHECK(one.findings.front().state == State::fresh);
    CHECK(one.findings.front().state_why.empty());
    REQUIRE(one.absent.size() == 1);
    CHECK(one.absent.front().state_why.empty());
    CHECK(one.changes.empty());
}

TEST_CASE("what is said of the map file is explained by nothing at the place") {
    Assessed before = test::one_walk(), now = before;
    now.survey.stretches[1].reading.facts.set("right", std::string("restricted"));
    before.findings = {test::found("map-data-missing-farther-off", 500, 1000, 9)};
    const Assessed one = compared(now, before);
    REQUIRE(one.absent.size() == 1);
    CHECK(one.absent.front().state_why.empty());
}
