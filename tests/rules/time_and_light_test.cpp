#include "rules/survey_kit.hpp"

#include <doctest/doctest.h>

#include <algorithm>

/// Every rule of the set time-and-light, with a subject that fires it and what it then says.
using namespace waywarden;
using namespace rules_kit;

namespace {

const std::string k_day =
    R"("start_given": true, "starts_at": "09:30", "ends_at": "15:00", "starts_before_dawn": false,
       "ends_after_sunset": false, "ends_after_dusk": false, "daylight_left_min": 90, "day_length_h": 5.5,
       "day_length_least_h": 5.5, "day_length": "5 h 30 min", "rest_planned": true,
       "daylight": "sunrise 08:14, sunset 16:30, end of civil twilight 17:05")";

/// What is said of a route with these facts changed: a line "rule:level: message" each.
std::string said(const std::string& changes) {
    survey::Survey survey = quiet_survey();
    add_stretch(survey, 1000);
    set_facts(survey.route_facts, "{" + k_day + "}");
    set_facts(survey.route_facts, changes);
    std::string out;
    for (const rules::Finding& one : judged(survey, "youth-expedition"))
        out += one.rule + ":" + rules::to_string(one.level) + ": " + one.message + "\n";
    return out;
}

const std::string k_sun = "sunrise 08:14, sunset 16:30, end of civil twilight 17:05.\n";

} // namespace

TEST_CASE("a day with time and light enough gives nothing to say") {
    CHECK(said("{}") == "");
}

TEST_CASE("each rule on time and light fires on its fact and says what it saw") {
    CHECK(said(R"({"ends_after_sunset": true, "ends_after_dusk": true, "ends_at": "17:40",
                   "daylight_left_min": -70})") ==
          "ends-in-the-dark:error: The walk ends at 17:40, after civil twilight: " + k_sun);
    CHECK(said(R"({"ends_after_sunset": true, "ends_at": "16:50", "daylight_left_min": -20})") ==
          "ends-after-sunset:warning: The walk ends at 16:50, with the sun down: " + k_sun);
    CHECK(said(R"({"ends_at": "16:05", "daylight_left_min": 25})") ==
          "little-daylight-left:note: The walk ends at 16:05, 25 minutes before sunset: " + k_sun);
    CHECK(said(R"({"starts_before_dawn": true, "starts_at": "06:00"})") ==
          "starts-in-the-dark:warning: The walk starts at 06:00, outside civil twilight: " + k_sun);
    CHECK(said(R"({"day_length_least_h": 9, "day_length_h": null, "day_length": "at least 9 h 00 min"})") ==
          "day-too-long:warning: At least 9 h 00 min of walking and resting.\n");
    CHECK(said(R"({"rest_planned": false})") ==
          "no-rest-planned:note: 5 h 30 min of walking without a rest in it.\n");
}

TEST_CASE("what cannot be told of the end is told once") {
    CHECK(
        said(R"({"ends_after_sunset": null, "ends_after_dusk": null, "daylight_left_min": null,
                   "ends_at": null, "daylight": null, "day_length_h": null, "day_length_least_h": null,
                   "starts_before_dawn": null, "rest_planned": null})") ==
        "daylight-cannot-be-told:note: Heights, the pace or the clock of the place are not known, or a night "
        "lies between: the walk ends at a time that is not known; when the sun sets by the clock there is "
        "not "
        "known.\n");
    // After sunset even without climbs, and perhaps after dusk.
    CHECK(
        said(R"({"ends_after_sunset": true, "ends_after_dusk": null, "daylight_left_min": null,
                   "ends_at": "16:50 at the earliest, climbs not counted"})") ==
        "ends-after-sunset:warning: The walk ends at 16:50 at the earliest, climbs not counted, with the sun "
        "down: " +
            k_sun);
}

TEST_CASE("without a start the rules on time say nothing") {
    CHECK(said(R"({"start_given": false, "ends_after_sunset": null, "ends_after_dusk": null,
                   "daylight_left_min": null, "starts_before_dawn": null, "ends_at": null, "day_length_h": null,
                   "day_length_least_h": null, "day_length": null, "rest_planned": null, "daylight": null})") ==
          "");
}

TEST_CASE("the leg on which the sun sets is told") {
    survey::Survey survey = quiet_survey();
    add_stretch(survey, 1000);
    set_facts(survey.route_facts, "{" + k_day + "}");
    survey::Leg leg;
    leg.number = 3;
    leg.to.at_m = 1000;
    set_facts(leg.facts,
              R"({"leg_number": 3, "from": "Gull Stone", "to": "Skerry Farm", "sun_sets_on_it": true,
                             "ends_at": "16:50"})");
    survey.legs.legs.push_back(leg);
    const auto findings = judged(survey, "youth-expedition");
    const auto at = std::find_if(findings.begin(), findings.end(),
                                 [](const rules::Finding& one) { return one.rule == "sun-sets-on-a-leg"; });
    REQUIRE(at != findings.end());
    CHECK(at->message == "The sun sets on leg 3, Gull Stone to Skerry Farm, which ends at 16:50.");
}
