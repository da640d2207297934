#include "rules/library.hpp"
#include "rules/survey_kit.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

/// Every rule that a party's own set adds, with a subject that fires it for that party; and what the sets
/// change of walking-core. A finding that the row does not name fails.
using namespace waywarden;
using namespace rules_kit;

namespace {

enum class On { stretch, road, rail, spot, route };

struct Row {
    On on;
    std::string facts;
    std::string party;
    std::vector<std::string> says; ///< "rule:level"
    std::string in_the_message;    ///< "" nothing in particular
};

const std::string k_street =
    R"("of": "road", "access": "minor_road", "lifecycle": "in_use", "speed_unreadable": false, "means": "level",
       "facility": "none_recorded", "on_path": true, "carriageways": 1, "party_cross_min": 7.5, )";
const std::string k_crossing =
    R"("of": "rail", "access": "railway", "name": "Harbour Line", "lifecycle": "in_use", "railway": "rail",
       "railway_in_use": true, "means": "level", "on_path": true, "party_cross_min": 7.5, )";
/// Nothing of what the charity walk's set asks of a route is wrong.
const std::string k_served =
    R"("longest_without_toilets_m": 900, "longest_without_water_m": 900, "parking_at_start": true,
       "toilets_at_start": true, "longest_without_toilets_from_m": 0, "longest_without_water_from_m": 0, )";
const std::string k_near_ways =
    R"("longest_without_way_off_m": 700, "longest_without_way_off_from_m": 0, "road_without_pavement_m": 100,
       "longest_road_without_pavement_m": 100, "road_without_pavement_share": 1, "stiles": 0, )";

const std::vector<Row> k_rows{
    {On::road,
     "{" + k_street + R"("highway": "residential", "speed_limit_kmh": 48.3, "speed_limit": "30 mph"})",
     "charity-walk",
     {"street-crossed-by-many:note"},
     "about 7.5 min"},
    {On::road,
     "{" + k_street + R"("highway": "residential", "speed_limit_kmh": 48.3, "speed_limit": "30 mph"})",
     "club-walk",
     {},
     ""},
    {On::road,
     "{" + k_street + R"("highway": "tertiary", "speed_limit_kmh": 64.4, "speed_limit": "40 mph"})",
     "charity-walk",
     {"busy-road-crossed:warning"},
     "about 7.5 min"},
    {On::road,
     "{" + k_street +
         R"("highway": "tertiary", "speed_limit_kmh": 96.6, "speed_limit": "60 mph", "speed_limit_source": "recorded",
            "sight_grade": "good"})",
     "charity-walk",
     {"fast-road-crossed:warning"},
     "about 7.5 min"},
    {On::road,
     "{" + k_street +
         R"("highway": "unclassified", "speed_limit_kmh": 96.6, "speed_limit": "60 mph", "speed_limit_source": "presumed"})",
     "charity-walk",
     {"lane-with-presumed-limit-crossed:note"},
     "about 7.5 min"},
    {On::rail,
     "{" + k_crossing + R"("rail_protection": "gates"})",
     "charity-walk",
     {"level-crossing:error"},
     "about 7.5 min"},
    {On::rail,
     "{" + k_crossing + R"("rail_protection": "barriers"})",
     "charity-walk",
     {"level-crossing:warning"},
     ""},
    {On::rail,
     "{" + k_crossing + R"("rail_protection": "gates"})",
     "youth-expedition",
     {"level-crossing:error"},
     ""},
    {On::rail,
     "{" + k_crossing + R"("rail_protection": "gates"})",
     "club-walk",
     {"level-crossing:warning"},
     ""},
    {On::spot,
     R"({"kind": "stile", "barrier_kind": "stile", "barrier_passable": true, "queue_min": 75, "right": "unknown"})",
     "charity-walk",
     {"queue-at-a-barrier:warning"},
     "about 75 min to get through one by one (stile)"},
    {On::spot,
     R"({"kind": "stile", "barrier_kind": "stile", "barrier_passable": true, "queue_min": 5, "right": "unknown"})",
     "club-walk",
     {},
     ""},
    {On::spot,
     R"({"kind": "farthest_from_road", "farthest_from_road_min": 45, "detail": "as found"})",
     "charity-walk",
     {"first-aid-far-from-vehicle:warning"},
     "45 min"},
    {On::spot,
     R"({"kind": "farthest_from_road", "farthest_from_road_min": null, "detail": "near"})",
     "charity-walk",
     {"first-aid-far-from-vehicle:warning"},
     "unknown"},
    {On::stretch,
     R"({"steps": true, "queue_min": 10})",
     "charity-walk",
     {"queue-on-a-narrow-way:note"},
     "10 min"},
    {On::stretch, R"({"right": "permissive"})", "charity-walk", {"consent-for-many:warning"}, "permission"},
    {On::stretch, R"({"right": "permissive"})", "club-walk", {}, ""},
    {On::stretch, R"({"surface": "mud"})", "wheels", {"unfit-for-wheels:warning"}, "mud"},
    {On::stretch, R"({"surface": "mud"})", "charity-walk", {}, ""},
    {On::stretch, R"({"surface": null})", "wheels", {"surface-for-wheels-not-recorded:note"}, "no surface"},
    {On::route,
     "{" + k_served + R"("longest_without_toilets_m": 7000})",
     "charity-walk",
     {"long-without-toilets:note"},
     "7.0 km"},
    {On::route,
     "{" + k_served + R"("longest_without_water_m": 9000})",
     "charity-walk",
     {"long-without-drinking-water:note"},
     "9.0 km"},
    {On::route,
     "{" + k_served + R"("parking_at_start": false})",
     "charity-walk",
     {"no-parking-at-the-start:note"},
     "300 m"},
    {On::route,
     "{" + k_near_ways + R"("road_without_pavement_m": 4000})",
     "youth-expedition",
     {"much-road-walking:note"},
     "4.0 km"},
    {On::route,
     "{" + k_near_ways + R"("longest_without_way_off_m": 6000})",
     "youth-expedition",
     {"long-without-a-way-off:warning"},
     "6.0 km"},
    {On::route, "{" + k_near_ways + R"("stiles": 4})", "club-walk", {"stiles-with-dogs:note"}, "4"},
    {On::spot,
     R"({"kind": "water_edge", "name": "Skerry Water", "distance_m": 2, "within": false, "length_m": 50})",
     "youth-expedition",
     {"along-the-edge-of-water:note"},
     "Skerry Water"},
    {On::spot,
     R"({"kind": "water_edge", "name": "Skerry Water", "distance_m": 2, "within": false, "length_m": 50})",
     "club-walk",
     {},
     ""},
    {On::stretch, R"({"incline_pct": 30})", "youth-expedition", {"steep-way:note"}, "30 %"},
    {On::stretch,
     R"({"trail_visibility": "intermediate"})",
     "youth-expedition",
     {"path-easily-missed:note"},
     ""},
    {On::stretch, R"({"informal": true})", "youth-expedition", {"path-easily-missed:note"}, ""},
    {On::stretch,
     R"({"informal": true, "trail_visibility": "horrible"})",
     "youth-expedition",
     {"path-hard-to-see:warning"},
     ""},
    {On::stretch, R"({"dogs_allowed": "no"})", "club-walk", {"dogs-not-allowed:warning"}, "not allowed"},
    {On::stretch, R"({"dogs_allowed": "leashed"})", "club-walk", {"dogs-on-a-lead:note"}, "lead"},
    {On::stretch,
     R"({"closed_then": null, "passing_time_known": false, "conditional_words": "x"})",
     "club-walk",
     {"restricted-at-times:warning"},
     ""},
};

survey::Survey survey_of(const Row& row) {
    survey::Survey out = quiet_survey();
    set_facts(out.route_facts, "{" + k_served + k_near_ways + R"("gates": 0})");
    add_stretch(out, 400, R"({"surface": "asphalt"})");
    if (row.on == On::stretch) set_facts(out.stretches.front().reading.facts, row.facts);
    if (row.on == On::road || row.on == On::rail) add_crossing(out, 100, 1, row.facts);
    if (row.on == On::spot) add_spot(out, 100, 150, row.facts);
    if (row.on == On::route) set_facts(out.route_facts, row.facts);
    return out;
}

const char* const k_wheels =
    R"({"format": "waywarden-party", "version": 1, "name": "wheels", "title": "Wheels",
    "builds_on": "charity-walk", "who": {"step_free": true}})";

} // namespace

TEST_CASE("each rule of a party's set fires on its subject, and no other rule does") {
    const TemporaryFile wheels("party-wheels.json", k_wheels);
    for (const Row& row : k_rows) {
        CAPTURE(row.facts);
        CAPTURE(row.party);
        const auto findings = judged(survey_of(row), row.party == "wheels" ? wheels.path : row.party);
        CHECK(said(findings) == row.says);
        for (const auto& finding : findings) {
            CAPTURE(finding.message);
            CHECK(finding.message.find(row.in_the_message) != std::string::npos);
            CHECK(finding.message.find_first_of("{}") == std::string::npos);
            CHECK(finding.message.find(" safe") == std::string::npos);
            CHECK(!finding.grounds.empty());
        }
    }
}

TEST_CASE("nothing is wrong: no party's set says a word") {
    const TemporaryFile wheels("party-quiet-wheels.json", k_wheels);
    for (const std::string& party : {std::string("charity-walk"), std::string("club-walk"),
                                     std::string("youth-expedition"), wheels.path})
        CHECK(said(judged(survey_of({On::stretch, "{}", party, {}, ""}), party)) ==
              std::vector<std::string>{});
}

TEST_CASE("every rule that a party's set adds has a row") {
    const std::vector<std::string> core{"walking-core"},
        sets{"charity-walk", "club-walk", "youth-expedition"};
    std::set<std::string> old, rows;
    for (const rules::Rule& rule : rules::load_sets(core).rules)
        old.insert(rule.id);
    for (const Row& row : k_rows)
        for (const std::string& says : row.says)
            rows.insert(says.substr(0, says.find(':')));
    for (const std::string& set : sets) {
        const std::vector<std::string> one{set};
        for (const rules::Rule& rule : rules::load_sets(one).rules)
            CHECK_MESSAGE((old.count(rule.id) == 1 || rows.count(rule.id) == 1), rule.id);
    }
}

TEST_CASE("what a party does not know is not taken as few people or as no wheels") {
    const TemporaryFile some("party-some.json", R"({"format": "waywarden-party", "version": 1, "name": "some",
        "title": "Some", "builds_on": "charity-walk", "who": {"number": null, "group_size": null}})");
    const auto findings =
        judged(survey_of({On::route, R"({"parking_at_start": false})", "", {}, ""}), some.path);
    CHECK(said(findings) == std::vector<std::string>{"no-parking-at-the-start:note"});
}

TEST_CASE("a way closed at the time of passing is one objection, not two") {
    const Row closed{On::stretch,
                     R"({"right": "forbidden", "closed_then": true, "passing_time_known": true})",
                     "youth-expedition",
                     {},
                     ""};
    CHECK(said(judged(survey_of(closed), "youth-expedition")) ==
          std::vector<std::string>{"closed-when-passing:error"});
    const Row maybe{
        On::stretch,
        R"({"right": "unknown", "right_value": "conditional", "closed_then": null, "passing_time_known": false})",
        "youth-expedition",
        {},
        ""};
    CHECK(said(judged(survey_of(maybe), "youth-expedition")) ==
          std::vector<std::string>{"restricted-at-times:note"});
}

TEST_CASE("a gate that keeps walkers out is told at the gate, and not of the way as well") {
    survey::Survey survey = survey_of(
        {On::spot,
         R"({"kind": "gate", "barrier_kind": "gate", "barrier_passable": true, "right": "forbidden", "right_value": "no"})",
         "",
         {},
         ""});
    set_facts(survey.stretches.front().reading.facts, R"({"right": "forbidden", "right_from_gate": true})");
    CHECK(said(judged(survey, "youth-expedition")) == std::vector<std::string>{"private-gate:error"});
}
