#include "rules/library.hpp"
#include "rules/survey_kit.hpp"

#include <doctest/doctest.h>

#include <map>
#include <set>

/// Every rule of walking-core with a subject that fires it, all other facts as a careful map would have them.
/// A finding that the row does not name fails.
using namespace waywarden;
using namespace rules_kit;

namespace {

enum class On { stretch, road, rail, water, barrier, area, barrier_spot, line, route };

const std::map<On, std::string> k_harmless{
    {On::stretch, "{}"},
    {On::road,
     R"({"of": "road", "access": "minor_road", "highway": "residential", "name": "Kirk Street", "lifecycle": "in_use",
        "speed_limit_kmh": 48.3, "speed_limit": "30 mph", "speed_limit_source": "recorded", "speed_unreadable": false,
        "means": "level", "means_evidence": "shared_node", "facility": "none_recorded", "on_path": true, "carriageways": 1, "sight_grade": "good"})"},
    {On::rail,
     R"({"of": "rail", "access": "railway", "name": "Harbour Line", "lifecycle": "in_use", "railway": "rail",
        "railway_in_use": true, "means": "bridge", "means_evidence": "tag", "on_path": true})"},
    {On::water,
     R"({"of": "water", "access": "water", "waterway": "stream", "means": "bridge", "means_evidence": "tag",
        "tidal": false, "on_path": true})"},
    {On::barrier,
     R"({"of": "barrier", "access": "open_ground", "means": "level", "barrier_kind": "wall", "barrier_passable": true,
        "on_path": true})"},
    {On::area,
     R"({"kind": "nature_reserve", "name": "Ness", "within": true, "distance_m": 0, "length_m": 50, "off_path": false,
        "on_recorded_right": false, "detail": "as found"})"},
    {On::barrier_spot,
     R"({"kind": "gate", "barrier_kind": "gate", "barrier_passable": true, "locked": null, "right": "unknown",
        "within": true, "distance_m": 0, "off_path": false})"},
    {On::line,
     R"({"kind": "other", "within": true, "distance_m": 0, "length_m": 400, "detail": "as found"})"},
    {On::route, "{}"},
};

survey::Survey survey_of(On on, const std::string& changes) {
    survey::Survey out = quiet_survey();
    add_stretch(out, 400, on == On::stretch ? changes : "{}");
    const std::string& harmless = k_harmless.at(on);
    if (on == On::road || on == On::rail || on == On::water || on == On::barrier)
        set_facts(add_crossing(out, 100, 1, harmless).facts, changes);
    if (on == On::area || on == On::barrier_spot || on == On::line)
        set_facts(add_spot(out, 100, 150, harmless).facts, changes);
    if (on == On::route) set_facts(out.route_facts, changes);
    return out;
}

struct Row {
    On on;
    std::string changes;
    std::string says; ///< "rule:level"
    std::string party = "youth-expedition";
};

const std::string k_road =
    R"("access": "minor_road", "right": "road", "pavement_beside": false, "speed_unreadable": false, )";

const std::vector<Row> k_rows{
    {On::stretch, R"({"access": "motorway", "right": "forbidden"})", "on-a-motorway:error"},
    {On::stretch,
     "{" + k_road + R"("highway": "tertiary", "speed_limit_kmh": 96.6, "speed_limit_source": "recorded"})",
     "fast-road-without-pavement:error"},
    {On::stretch,
     "{" + k_road + R"("highway": "secondary", "speed_limit_kmh": 96.6, "speed_limit_source": "presumed"})",
     "main-road-without-pavement:error"},
    {On::stretch,
     "{" + k_road +
         R"("highway": "unclassified", "speed_limit_kmh": 96.6, "speed_limit_source": "presumed"})",
     "lane-with-presumed-limit:note"},
    {On::stretch,
     "{" + k_road + R"("highway": "residential", "speed_limit_kmh": 48.3, "speed_limit_source": "recorded"})",
     "road-without-pavement:note"},
    {On::stretch,
     "{" + k_road +
         R"("highway": "residential", "speed_limit_kmh": 48.3, "speed_limit_source": "presumed", "pavement": "both", "speed_unreadable": true})",
     "speed-limit-unreadable:note"},
    {On::stretch,
     "{" + k_road +
         R"("highway": "residential", "speed_limit_kmh": 32.2, "speed_limit_source": "recorded", "speed_contradicted": true})",
     "speed-limits-contradict:warning"},
    {On::stretch,
     R"({"access": "major_road", "right": "road", "pavement_beside": true, "speed_unreadable": false, "highway": "trunk", "speed_limit_kmh": 96.6, "speed_limit_source": "recorded"})",
     "footway-beside-the-road:note"},
    {On::stretch, R"({"oneway_on_foot": "oneway:foot=yes", "against_oneway": true})",
     "against-one-way-on-foot:error"},
    {On::stretch, R"({"overgrown": true})", "way-recorded-as-blocked:warning"},
    {On::road, R"({"access": "motorway", "highway": "motorway", "speed_limit_kmh": 112.65})",
     "motorway-crossed-at-grade:error"},
    {On::road, R"({"access": "major_road", "highway": "trunk", "speed_limit_kmh": 112.65, "lanes": 4})",
     "very-fast-road-crossed:error"},
    {On::road, R"({"highway": "tertiary", "speed_limit_kmh": 96.6})", "fast-road-crossed:warning"},
    {On::road, R"({"highway": "tertiary", "speed_limit_kmh": 96.6, "lifecycle": "construction"})",
     "unfinished-road-crossed:warning"},
    {On::road, R"({"dual_carriageway": true})", "two-carriageways-crossed:warning"},
    {On::road, R"({"speed_limit_kmh": 64.4})", "busy-road-crossed:note"},
    {On::road, R"({"highway": "unclassified", "speed_limit_kmh": 96.6, "speed_limit_source": "presumed"})",
     "lane-with-presumed-limit-crossed:note"},
    {On::road, R"({"speed_limit_kmh": 56.3, "sight_speed_kmh": 56.3, "sight_grade": "below_stopping"})",
     "poor-sight-where-crossing:warning"},
    {On::line, R"({"kind": "blind_bend", "highway": "tertiary", "sight_speed_kmh": 64.4})",
     "poor-sight-on-a-bend:warning"},
    {On::line, R"({"kind": "farthest_from_road", "farthest_from_road_min": 45})", "far-from-help:warning"},
    {On::water, R"({"waterway": "river", "means": "none"})", "water-with-no-way-over:error"},
    {On::water, R"({"means": "none", "on_path": false})", "stream-with-no-way-over-off-path:warning"},
    {On::water, R"({"means": "none"})", "stream-with-no-way-over:note"},
    {On::water, R"({"means": "ford"})", "ford:warning"},
    {On::stretch, R"({"access": "track", "ford": true})", "way-runs-through-water:warning"},
    {On::stretch, R"({"access": "track", "bridge_word": "collapsed"})", "bridge-out-of-use:error"},
    {On::stretch, R"({"access": "water", "right": "unknown", "ground": "water"})",
     "line-through-water:error"},
    {On::stretch, R"({"access": "ferry"})", "depends-on-a-ferry:warning"},
    {On::stretch, R"({"tidal": true})", "covered-by-the-tide:error"},
    {On::area, R"({"kind": "tidal_area"})", "tidal-area-entered:error"},
    {On::area, R"({"kind": "tidal_area", "within": false, "distance_m": 20})", "tidal-area-beside:note"},
    {On::stretch, R"({"access": "railway", "right": "forbidden"})", "along-a-railway:error"},
    {On::rail, R"({"means": "none", "rail_protection": "none_recorded"})", "railway-crossed:error"},
    {On::rail, R"({"means": "level", "rail_protection": "lights"})", "level-crossing:warning"},
    {On::rail, R"({"means": "level", "rail_protection": "none_recorded", "railway_in_use": false})",
     "tram-or-disused-line-crossed:note"},
    {On::stretch, R"({"right": "forbidden"})", "walking-forbidden:error"},
    {On::stretch, R"({"right": "restricted"})", "private-way:warning"},
    {On::stretch, R"({"right": "unknown"})", "no-right-recorded:note"},
    {On::stretch, R"({"right_conflict": true})", "right-in-conflict:warning"},
    {On::stretch, R"({"right_value": "discouraged"})", "walking-discouraged:warning"},
    {On::stretch, R"({"closed_then": true, "passing_time_known": true})", "closed-when-passing:error"},
    {On::stretch, R"({"closed_then": null, "passing_time_known": true})", "closing-cannot-be-told:warning"},
    {On::stretch, R"({"closed_then": null, "passing_time_known": false})", "restricted-at-times:note"},
    {On::barrier_spot, R"({"kind": "gate", "closed_then": true, "passing_time_known": true})",
     "gate-closed-when-passing:error"},
    {On::barrier_spot, R"({"kind": "gate", "closed_then": null, "passing_time_known": true})",
     "gate-perhaps-closed:warning"},
    {On::barrier_spot, R"({"kind": "gate", "closed_then": null, "passing_time_known": false})",
     "gate-closed-at-times:note"},
    {On::stretch, R"({"access": "open_ground", "right": "unknown", "ground": "farmyard"})",
     "off-path-through-private-ground:error"},
    {On::stretch, R"({"access": "open_ground", "right": "unknown", "ground": "farmland"})",
     "off-any-path:warning"},
    {On::stretch, R"({"access": "open_ground", "right": "open_access", "ground": "heath"})",
     "over-open-access-land:note"},
    {On::stretch, R"({"lifecycle": "construction"})", "closed-or-unfinished-way:error"},
    {On::area, R"({"kind": "danger_area", "military": "danger_area"})", "military-or-danger-area:error"},
    {On::area, R"({"kind": "danger_area", "military": "range", "within": false, "distance_m": 12})",
     "military-or-danger-area-beside:warning"},
    {On::area, R"({"kind": "hazard"})", "hazard-entered:warning"},
    {On::area, R"({"kind": "farmyard"})", "farmyard-crossed:warning"},
    {On::area, R"({"kind": "golf_course"})", "golf-course-crossed:warning"},
    {On::area, R"({"kind": "school"})", "school-grounds-crossed:warning"},
    {On::area, R"({"kind": "private_area"})", "garden-or-private-area-crossed:warning"},
    {On::area, R"({"kind": "quarry"})", "quarry-entered:warning"},
    {On::area, R"({"kind": "airfield"})", "airfield-entered:error"},
    {On::area, R"({"kind": "runway"})", "runway-crossed:error"},
    {On::area, R"({"kind": "runway", "on_recorded_right": true})", "runway-crossed:warning"},
    {On::area, R"({"kind": "construction_area"})", "works-area-entered:warning"},
    {On::area, R"({"kind": "building_over_way", "detail": "yes"})", "building-over-the-way:note"},
    {On::area, R"({"kind": "cliff", "off_path": true})", "cliff-on-the-line:error"},
    {On::area, R"({"kind": "cliff", "within": false, "distance_m": 8})", "cliff-beside:warning"},
    {On::area, R"({"kind": "glacier"})", "glacier:error"},
    {On::area, R"({"kind": "scree"})", "scree:warning"},
    {On::area, R"({"kind": "wetland"})", "wetland:note"},
    {On::barrier_spot, R"({"locked": true})", "locked-gate:error"},
    {On::barrier_spot, R"({"right": "restricted"})", "private-gate:warning"},
    {On::barrier_spot, R"({"kind": "barrier", "barrier_kind": "wall", "barrier_passable": false})",
     "barrier-on-the-way:warning"},
    {On::barrier, R"({"barrier_passable": false, "on_path": false})", "wall-or-fence-crossed:warning"},
    {On::barrier, R"({"barrier_passable": false})", "wall-or-fence-across-the-way:note"},
    {On::stretch, R"({"sac_scale": "demanding_mountain_hiking", "sac_grade": 3})", "path-too-hard:error"},
    {On::stretch, R"({"sac_scale": "mountain_hiking", "sac_grade": 2})", "path-at-the-limit:note"},
    {On::stretch, R"({"grade_unread": "sac_scale=T7"})", "path-grade-not-read:warning"},
    {On::stretch, R"({"trail_visibility": "horrible"})", "path-hard-to-see:warning"},
    {On::stretch, R"({"via_ferrata": true})", "climbing-path:error"},
    {On::stretch, R"({"ladder": true})", "ladder:warning"},
    {On::line, R"({"kind": "off_map"})", "off-the-map:error"},
    {On::line, R"({"kind": "empty_map"})", "map-visibly-empty:error"},
    {On::line, R"({"kind": "shortfall", "distance_m": 20})", "map-data-missing:warning"},
    {On::line, R"({"kind": "shortfall", "distance_m": 300})", "map-data-missing-farther-off:note"},
    {On::route, R"({"map_age_days": 120})", "stale-map:note"},
    {On::line, R"({"kind": "gap", "length_m": 60})", "gap-in-the-line:warning"},
    {On::line, R"({"kind": "gap"})", "long-gap-in-the-line:error"},
    {On::line, R"({"kind": "null_island"})", "point-at-zero:error"},
    {On::line, R"({"kind": "swapped"})", "coordinates-swapped:error"},
    {On::line, R"({"kind": "jump"})", "jump-in-the-line:error"},
    {On::line, R"({"kind": "straight"})", "long-straight:note"},
    {On::line, R"({"kind": "single_point"})", "single-point:error"},
    {On::line, R"({"kind": "several_kinds"})", "several-kinds-of-line:warning"},
    {On::line, R"({"kind": "ambiguous_reading", "other_way": "track way/77"})",
     "two-ways-to-read-the-line:note"},
    {On::barrier_spot, R"({"kind": "stile", "barrier_kind": "stile"})",
     "stile-where-step-free-is-needed:error", "wheels"},
    {On::barrier_spot, R"({"kind": "barrier", "barrier_kind": "bollard", "gap_m": 0.7})",
     "narrow-where-step-free-is-needed:warning", "wheels"},
    {On::stretch, R"({"wheelchair": "no"})", "wheels-recorded-as-stopped:error", "wheels"},
    {On::stretch, R"({"steps": true})", "steps-where-step-free-is-needed:error", "wheels"},
};

} // namespace

TEST_CASE("each rule fires on its subject, and no other rule does") {
    const TemporaryFile wheels(
        "wheels.json", R"({"format": "waywarden-party", "version": 1, "name": "wheels", "title": "Wheels",
        "builds_on": "club-walk", "who": {"step_free": true}})");
    for (const Row& row : k_rows) {
        CAPTURE(row.says);
        const auto findings =
            judged(survey_of(row.on, row.changes), row.party == "wheels" ? wheels.path : row.party);
        CHECK(said(findings) == std::vector<std::string>{row.says});
        for (const auto& finding : findings) {
            CAPTURE(finding.message);
            CHECK(finding.message.find_first_of("{}") == std::string::npos);
            CHECK(finding.message.find(" safe") == std::string::npos);
            CHECK(!finding.grounds.empty());
        }
    }
}

TEST_CASE("the harmless subjects fire nothing") {
    for (const auto& [on, harmless] : k_harmless)
        CHECK(said(judged(survey_of(on, "{}"))) == std::vector<std::string>{});
}

TEST_CASE("every rule of walking-core has a row") {
    std::set<std::string> rows, others;
    for (const Row& row : k_rows)
        rows.insert(row.says.substr(0, row.says.find(':')));
    const std::vector<std::string> core{"walking-core"}, time{"time-and-light"};
    for (const rules::Rule& rule : rules::load_sets(time).rules)
        others.insert(rule.id); // those have a test of their own
    const rules::Library library = rules::load_sets(core);
    for (const rules::Rule& rule : library.rules)
        CHECK_MESSAGE(rows.count(rule.id) + others.count(rule.id) == 1, rule.id);
    CHECK(rows.size() + others.size() == library.rules.size());
}
