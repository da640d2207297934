#include "rules/library.hpp"
#include "run.hpp"

#include <doctest/doctest.h>

#include <map>
#include <set>

using namespace waywarden;
using namespace waywarden::twins;

namespace {

constexpr const char* k_card = "needs a route card: tests/survey/card_check_test.cpp and the rule's examples";

/// Rules that no map of a few objects can show, and the test that shows them instead.
const std::map<std::string, std::string> k_shown_elsewhere{
    {"sun-sets-on-a-leg", "needs legs: tests/rules/time_and_light_test.cpp"},
    {"card-reference-wrong", k_card},
    {"card-reference-off-the-line", k_card},
    {"card-reference-missing", k_card},
    {"card-leg-begins-elsewhere", k_card},
    {"card-distance-off", k_card},
    {"card-bearing-reversed", k_card},
    {"card-bearing-off", k_card},
    {"card-bearing-wrong-north", k_card},
    {"card-climb-off", k_card},
    {"card-time-short", k_card},
    {"card-time-long", k_card},
    {"card-leg-times-do-not-add-up", k_card},
    {"card-clock-does-not-add-up", k_card},
    {"card-escape-missing", k_card},
    {"card-leg-long", k_card},
    {"card-total-distance-off", k_card},
    {"card-total-climb-off", k_card},
    {"card-total-time-off", k_card},
    {"card-way-is-a-guess", k_card},
    {"card-place-off-the-ways", k_card},
    {"card-leaves-the-way-open", k_card},
    {"card-not-all-understood", k_card},
};

bool names(const std::string& says, const std::string& rule) {
    return (", " + says).find(", " + rule + ":") != std::string::npos;
}

void check_all(const Change& change) {
    for (const Twin& twin : all_twins()) {
        CAPTURE(change.name);
        CAPTURE(twin.rule);
        const Outcome hazard = run(twin, Which::hazard, change);
        CHECK_MESSAGE(hazard.says == twin.says, "the dangerous map: ", hazard.in_full);
        const Outcome harmless = run(twin, Which::harmless, change);
        CHECK_MESSAGE(harmless.says == twin.twin_says, "the harmless twin: ", harmless.in_full);
    }
}

} // namespace

TEST_CASE("each rule speaks on its dangerous map and not on the harmless twin, and no other rule does") {
    check_all({});
}

TEST_CASE("what changes nothing on the ground changes no finding") {
    for (const Change& change : harmless_changes())
        check_all(change);
}

TEST_CASE("a row names its rule on the dangerous map alone") {
    for (const Twin& twin : all_twins()) {
        CAPTURE(twin.rule);
        CHECK(names(twin.says, twin.rule));
        CHECK(!names(twin.twin_says, twin.rule));
    }
}

TEST_CASE("every shipped rule has a row, or is named among those shown elsewhere") {
    std::set<std::string> rows;
    for (const Twin& twin : all_twins())
        rows.insert(twin.rule);
    std::set<std::string> shipped;
    for (const std::string& set : rules::set_names()) // each alone: some leave rules of others out
        for (const rules::Rule& rule : rules::load_sets(std::vector{set}).rules)
            shipped.insert(rule.id);
    for (const std::string& id : shipped) {
        const bool elsewhere = k_shown_elsewhere.count(id) == 1;
        CHECK_MESSAGE((rows.count(id) == 1) != elsewhere, id);
    }
    for (const auto& [id, why] : k_shown_elsewhere)
        CHECK_MESSAGE(shipped.count(id) == 1, id);
    for (const std::string& id : rows)
        CHECK_MESSAGE(shipped.count(id) == 1, id);
}
