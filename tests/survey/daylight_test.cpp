#include "survey/daylight.hpp"
#include "survey/survey.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <functional>

using namespace waywarden;
using namespace std::chrono;
using survey::Given;
using survey::Survey;

namespace {

/// A line of 10 km due north from a place, with a point every 100 m.
route::Route line(geo::Position from, const std::function<std::optional<double>(double)>& height) {
    const geo::LocalFrame frame(from);
    route::Route out;
    out.segments.emplace_back();
    for (double at_m = 0; at_m <= 10000; at_m += 100)
        out.segments.back().points.push_back({frame.to_position({0, at_m}), height(at_m), 0});
    return out;
}

std::optional<double> flat(double at_m) {
    return at_m < 50 ? 11.0 : 12.0; // not all the same, which would be no heights
}

std::optional<double> unknown(double) {
    return std::nullopt;
}

/// Kinder Scout, 53.385 N 1.876 W.
constexpr geo::Position k_hills{-1.876, 53.385};

struct Day {
    route::Route route;
    Given given;
    Survey survey;
    Day(geo::Position from, const std::function<std::optional<double>(double)>& height, const char* start,
        const char* zone = "Europe/London", survey::Effort effort = {survey::TimeMethod::party, 4, 10, 10, 1})
        : route(line(from, height)) {
        if (*start) given.timetable = survey::Timetable{*geo::read_time(start), std::nullopt, zone};
        given.heights = survey::heights_of_file(route);
        given.effort = effort;
        survey.length_m = given.heights->length_m;
        survey::set_daylight(route, given, survey);
    }
    std::optional<bool> flag(const char* name) const { return survey.route_facts.flag(name); }
    std::optional<double> number(const char* name) const { return survey.route_facts.number(name); }
    std::string text(const char* name) const { return survey.route_facts.text(name, "unknown"); }
    bool not_seen(const std::string& part) const {
        const auto all = survey::times_not_seen(given, survey);
        return std::any_of(all.begin(), all.end(),
                           [&](const std::string& one) { return one.find(part) != std::string::npos; });
    }
};

} // namespace

// Sun: Kinder Scout on 24 October 2026, 06:51 to 16:52 UTC, twilight 06:15 to 17:27, by the library
// astronomy-engine; an hour later by British Summer Time. The walk: 10 km at 4 km/h are 2 h 30 min, and 10
// min of rest in each of these hours 25 min.
TEST_CASE("the walk against the sun of a known day") {
    const Day day(k_hills, flat, "2026-10-24T12:00");
    CHECK(day.text("ends_at") == "14:55");
    CHECK(day.flag("ends_after_sunset") == false);
    CHECK(day.flag("ends_after_dusk") == false);
    CHECK(day.flag("starts_before_dawn") == false);
    CHECK(std::abs(*day.number("daylight_left_min") - (17 * 60 + 52 - 14 * 60 - 55)) < 1.5);
    CHECK(*day.number("day_length_h") == doctest::Approx(2 + 55 / 60.0));
    CHECK(day.text("day_length") == "2 h 55 min");
    // The walk ends 10 km north of the place in the table, where the sun sets some seconds sooner.
    REQUIRE(day.survey.daylight->set);
    const auto sunset = geo::LocalSeconds(local_days(2026y / 10 / 24)) + hours(17) + minutes(52);
    CHECK(abs(*day.survey.daylight->set - sunset) <= minutes(1));
    CHECK(day.text("daylight") ==
          "sunrise 07:51, sunset 17:51, end of civil twilight 18:27, by the clock there; "
          "hills make the sun set earlier");
    CHECK(day.flag("rest_planned") == true);
    CHECK(!day.not_seen("daylight was not checked"));

    const Day late(k_hills, flat, "2026-10-24T15:10");
    CHECK(late.flag("ends_after_sunset") == true);
    CHECK(late.flag("ends_after_dusk") == false);
    CHECK(*late.number("daylight_left_min") < 0);
    const Day dark(k_hills, flat, "2026-10-24T16:00");
    CHECK(dark.flag("ends_after_dusk") == true);
    CHECK(Day(k_hills, flat, "2026-10-24T06:50").flag("starts_before_dawn") == true);
    CHECK(Day(k_hills, flat, "2026-10-24T07:30").flag("starts_before_dawn") == false);
}

// The clocks go back at 02:00 on 25 October 2026 (Summer Time Order 2002): the same sun sets an hour earlier.
TEST_CASE("the clock of the place is used on both sides of its change") {
    const Day day(k_hills, flat, "2026-10-25T12:00");
    CHECK(std::abs(*day.number("daylight_left_min") - (16 * 60 + 50 - 14 * 60 - 55)) < 1.5);
}

TEST_CASE("without a start only the length of the day is told, and without a time of day only the sun") {
    const Day none(k_hills, flat, "");
    CHECK(none.flag("start_given") == false);
    CHECK(!none.survey.daylight);
    CHECK(!none.flag("ends_after_sunset"));
    CHECK(!none.flag("starts_before_dawn"));
    CHECK(*none.number("day_length_h") == doctest::Approx(2 + 55 / 60.0));
    CHECK(none.not_seen(
        "No time of starting was given (--start): whether the walk ends in daylight was not checked."));

    const Day date(k_hills, flat, "2026-10-24");
    CHECK(date.flag("start_given") == false);
    CHECK(!date.flag("ends_after_sunset"));
    CHECK(!date.flag("starts_before_dawn"));
    REQUIRE(date.survey.daylight);
    CHECK(!date.survey.daylight->ends);
    CHECK(date.text("daylight").starts_with("sunrise 07:51"));
    CHECK(*date.number("day_length_h") == doctest::Approx(2 + 55 / 60.0));
}

TEST_CASE("unknown heights make the end too early, which proves the dark and never the light") {
    const Day day(k_hills, unknown, "2026-10-24T12:00");
    CHECK(day.text("ends_at") == "14:55 at the earliest, climbs not counted");
    CHECK(!day.flag("ends_after_sunset"));
    CHECK(!day.flag("ends_after_dusk"));
    CHECK(!day.number("daylight_left_min"));
    CHECK(!day.number("day_length_h"));
    CHECK(*day.number("day_length_least_h") == doctest::Approx(2 + 55 / 60.0));
    CHECK(day.text("day_length") == "at least 2 h 55 min");
    CHECK(day.not_seen("Heights are not known"));

    const Day dark(k_hills, unknown, "2026-10-24T16:00");
    CHECK(dark.flag("ends_after_sunset") == true);
    CHECK(dark.flag("ends_after_dusk") == true);
}

TEST_CASE("half of the heights count for what they are") {
    // 500 m of climb in the first half, 50 min; nothing is known of the second.
    const Day day(k_hills, [](double at_m) { return at_m <= 5000 ? std::optional(at_m / 10) : std::nullopt; },
                  "2026-10-24T12:00", "Europe/London", {survey::TimeMethod::party, 4, 10, 0, 1});
    CHECK(!day.number("day_length_h"));
    CHECK(*day.number("day_length_least_h") == doctest::Approx(2.5 + 50 / 60.0).epsilon(0.01));
    CHECK(day.flag("rest_planned") == false);
    CHECK(day.not_seen("of the line: climbs and walking times of the rest"));
}

TEST_CASE("methods that go by the slope have a least time only where there is one") {
    const Day tobler(k_hills, unknown, "2026-10-24T12:00", "Europe/London",
                     {survey::TimeMethod::tobler, 0, 0, 0, 1});
    CHECK(*tobler.number("day_length_least_h") == doctest::Approx(10.0 / 6).epsilon(0.001));
    const Day langmuir(k_hills, unknown, "2026-10-24T12:00", "Europe/London",
                       {survey::TimeMethod::naismith_langmuir, 0, 0, 0, 1});
    CHECK(!langmuir.number("day_length_least_h"));
    CHECK(langmuir.text("ends_at") == "unknown");
}

TEST_CASE("where the clock is not known daylight is not, and is said so") {
    const Day day(k_hills, flat, "2026-10-24T12:00", "");
    CHECK(!day.flag("ends_after_sunset"));
    CHECK(!day.flag("starts_before_dawn"));
    CHECK(day.text("daylight") == "unknown");
    CHECK(day.not_seen("The clock of the place is not known for this region: daylight was not checked."));
    CHECK(day.flag("start_given") == true);
}

// At 70 degrees north the sun does not set about midsummer nor rise about midwinter (any almanac; from
// memory).
TEST_CASE("polar day and polar night") {
    const geo::Position north{20, 71};
    const Day summer(north, flat, "2026-06-21T22:00", "Europe/Oslo");
    CHECK(summer.text("daylight") == "the sun does not set on that day");
    CHECK(summer.flag("ends_after_sunset") == false);
    CHECK(summer.flag("starts_before_dawn") == false);
    CHECK(!summer.number("daylight_left_min"));
    const Day winter(north, flat, "2026-12-21T12:00", "Europe/Oslo");
    CHECK(winter.text("daylight").starts_with("the sun does not rise on that day, civil twilight is from"));
    CHECK(winter.flag("ends_after_sunset") == true);
}

TEST_CASE("a walk of more than 16 hours has a night in it that nobody told of") {
    const Day day(k_hills, flat, "2026-10-24T12:00", "Europe/London",
                  {survey::TimeMethod::party, 0.5, 10, 0, 1});
    CHECK(*day.number("day_length_h") == doctest::Approx(20));
    CHECK(!day.flag("ends_after_sunset"));
    CHECK(day.text("ends_at") == "unknown");
}

TEST_CASE("the leg on which the sun sets") {
    Day day(k_hills, flat, "2026-10-24T15:10");
    for (const auto& [from, to] : {std::pair(0.0, 5000.0), std::pair(5000.0, 10000.0)}) {
        survey::Leg leg;
        leg.from = {"a", survey::position_at(day.route, from), from, 0};
        leg.to = {"b", survey::position_at(day.route, to), to, 0};
        leg.walking_min = 75;
        leg.rest_min = 12.5;
        leg.leaves = day.given.timetable->start.at + seconds(std::lround(from / 5000 * 87.5 * 60));
        leg.arrives = *leg.leaves + seconds(5250);
        day.survey.legs.legs.push_back(leg);
    }
    survey::set_daylight(day.route, day.given, day.survey);
    CHECK(day.survey.legs.legs[0].facts.flag("sun_sets_on_it") == false);
    CHECK(day.survey.legs.legs[1].facts.flag("sun_sets_on_it") == true);
    CHECK(day.survey.legs.legs[1].facts.flag("ends_after_dusk") == false);
    CHECK(day.text("ends_at") == "18:05");
    // A leg without times: unknown.
    day.survey.legs.legs[1].arrives.reset();
    day.survey.legs.legs[1].walking_min.reset();
    survey::set_daylight(day.route, day.given, day.survey);
    CHECK(!day.survey.legs.legs[1].facts.flag("sun_sets_on_it"));
}
