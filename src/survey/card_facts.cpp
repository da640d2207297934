#include "survey/card_facts.hpp"

#include "survey/card_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace waywarden::survey {

namespace {

constexpr double k_string_m = 50; ///< a length taken with a string on a 1:25 000 map: 2 mm, common practice
constexpr double k_fits_share = 0.05; ///< a length this near the straight one was taken straight
constexpr double k_degrees_per_radian = 180 / 3.14159265358979323846;

/// Between two directions, 0 to 180.
double apart_deg(double a, double b) {
    const double d = std::fmod(std::abs(a - b), 360);
    return d > 180 ? 360 - d : d;
}

double size_m(const CardEnd& end) {
    return end.place.square ? end.place.square->size_m : 0;
}

bool compared(const CardEnd& from, const CardEnd& to) {
    return from.placed && to.placed;
}

std::string kilometres(double metres) {
    return metres < 1000 ? fmt::format("{:.0f} m", metres) : fmt::format("{:.1f} km", metres / 1000);
}

/// What the writing is good for: half a step, the string, and half a square at each end, along the line.
void set_distance(const route::CardLeg& given, const CardEnd& from, const CardEnd& to, Leg& leg) {
    if (!given.distance_m) return;
    Facts& facts = leg.facts;
    facts.set("card_distance_m", *given.distance_m);
    if (!compared(from, to) || leg.length_m <= 0) return;
    const double off_m = std::abs(*given.distance_m - leg.length_m);
    const double good_for_m = given.distance_step_m / 2 + k_string_m + (size_m(from) + size_m(to)) / 2;
    facts.set("card_distance_off_m", off_m);
    facts.set("card_distance_off_pct", 100 * off_m / leg.length_m);
    facts.set("card_distance_beyond_m", std::max(0.0, off_m - good_for_m));
    facts.set("card_distance_is_straight",
              std::abs(*given.distance_m - leg.straight_m) <=
                      given.distance_step_m / 2 + k_fits_share * leg.straight_m &&
                  leg.length_m - leg.straight_m > 2 * given.distance_step_m);
}

std::string bearing_words(const Leg& leg) {
    std::string out = fmt::format("{:03}\xC2\xB0 on the grid", whole_degrees(leg.bearing_grid_deg));
    if (const auto magnetic = bearing_magnetic_deg(leg, leg.bearing_grid_deg))
        out += fmt::format(" ({:03}\xC2\xB0 by compass)", whole_degrees(*magnetic));
    return out;
}

/// A bearing between squares is as good as a square is wide seen from the other end of the leg.
void set_bearing(const route::CardLeg& given, const CardEnd& from, const CardEnd& to, Leg& leg) {
    if (!given.direction_deg) return;
    Facts& facts = leg.facts;
    facts.set("card_bearing_deg", *given.direction_deg);
    facts.set("card_bearing", given.direction_text);
    if (!compared(from, to) || !has_bearing(leg)) return;
    const double needle_deg = leg.grid_magnetic_angle_deg.value_or(0);
    const double grid_deg = *given.direction_deg + (given.direction_magnetic ? needle_deg : 0);
    const double off_deg = apart_deg(grid_deg, leg.bearing_grid_deg);
    const double good_for_deg =
        given.direction_step_deg / 2 +
        std::atan2((size_m(from) + size_m(to)) / 2, leg.straight_m) * k_degrees_per_radian;
    facts.set("card_bearing_off_deg", off_deg);
    facts.set("card_bearing_beyond_deg", std::max(0.0, off_deg - good_for_deg));
    facts.set("card_bearing_reversed", 180 - off_deg <= std::max(10.0, good_for_deg));
    facts.set("card_bearing_is_leaving",
              apart_deg(grid_deg, leg.leaving_grid_deg) <= 10 + given.direction_step_deg / 2);
    facts.set("walk_bearing", bearing_words(leg));
    if (leg.grid_magnetic_angle_deg && given.direction_step_deg <= 1) {
        // Magnetic = grid - angle. Only where the needle is so far off that a step of the card shows it.
        const double other_deg =
            given.direction_magnetic ? *given.direction_deg : *given.direction_deg + needle_deg;
        facts.set("card_bearing_wrong_north", std::abs(needle_deg) >= 5 &&
                                                  off_deg > std::abs(needle_deg) / 2 &&
                                                  apart_deg(other_deg, leg.bearing_grid_deg) <= 2);
    }
}

void set_climb(const route::CardLeg& given, const CardEnd& from, const CardEnd& to, Leg& leg) {
    if (!given.ascent_m) return;
    leg.facts.set("card_ascent_m", *given.ascent_m);
    if (!compared(from, to) || !leg.ascent_m || leg.climb_is_told) return;
    const double off_m = std::abs(*given.ascent_m - *leg.ascent_m);
    leg.facts.set("card_ascent_off_m", off_m);
    leg.facts.set("card_ascent_off_pct", 100 * off_m / std::max(*leg.ascent_m, 1.0));
}

void set_time(const route::CardLeg& given, const CardEnd& from, const CardEnd& to, Leg& leg) {
    if (!given.travel_min) return;
    leg.facts.set("card_travel_min", *given.travel_min);
    if (!compared(from, to) || !leg.walking_min || *leg.walking_min <= 0) return;
    const double off_min = *given.travel_min - *leg.walking_min;
    leg.facts.set("card_time_short_min", std::max(0.0, -off_min));
    leg.facts.set("card_time_short_pct", std::max(0.0, -100 * off_min / *leg.walking_min));
    leg.facts.set("card_time_long_pct", std::max(0.0, 100 * off_min / *leg.walking_min));
}

/// What a reader needs to find the slip.
std::string fault_words(const CardEnd& end) {
    const std::string place = place_words(end.place);
    const std::string off = end.off_m ? kilometres(*end.off_m) + " off the line" : "off the line";
    switch (end.fault) {
    case ReferenceFault::none:
        return "";
    case ReferenceFault::not_given:
        return fmt::format("{} has no grid reference", place);
    case ReferenceFault::not_readable:
        return fmt::format("the grid reference of {} cannot be read", place);
    case ReferenceFault::off_line:
        return fmt::format("{} is {}", place, off);
    case ReferenceFault::in_sea:
        return fmt::format("{} is in the sea, {}", place, off);
    case ReferenceFault::out_of_order:
        return fmt::format("{} is on the line, but not between the places before and after it", place);
    case ReferenceFault::swapped:
        return fmt::format("{} is {}; with easting and northing exchanged, {}, it would be on it", place, off,
                           end.meant);
    case ReferenceFault::transposed:
        return fmt::format("{} is {}; with two digits exchanged, {}, it would be on it", place, off,
                           end.meant);
    case ReferenceFault::wrong_square:
        return fmt::format("{} is {}; with the letters of another square, {}, it would be on it", place, off,
                           end.meant);
    }
    return "";
}

std::optional<std::chrono::seconds> leaves_at(const route::Card& card, std::size_t index) {
    const route::CardLeg& leg = card.legs[index];
    if (leg.depart) return leg.depart;
    if (index == 0) return card.start_clock;
    return card.legs[index - 1].arrive;
}

/// The clock's minutes from one time to the next, less than half a day either way.
double minutes_between(std::chrono::seconds from, std::chrono::seconds to) {
    double minutes = static_cast<double>((to - from).count()) / 60;
    if (minutes < -12 * 60) minutes += 24 * 60;
    return minutes;
}

/// The sum of what every leg gives; none where one gives nothing.
template <typename Get> std::optional<double> sum_of(const route::Card& card, Get&& get) {
    double sum = 0;
    for (const route::CardLeg& leg : card.legs) {
        const std::optional<double> one = get(leg);
        if (!one) return std::nullopt;
        sum += *one;
    }
    return sum;
}

void set_total(Facts& facts, const char* name, std::optional<double> total, std::optional<double> sum) {
    if (total && sum) facts.set(name, std::abs(*total - *sum));
}

} // namespace

void set_card_figures(const route::CardLeg& given, const CardEnd& from, const CardEnd& to, Leg& leg) {
    leg.facts.set("card_leg", given.label.empty()
                                  ? fmt::format("line {}", given.source_line)
                                  : fmt::format("{} (line {})", given.label, given.source_line));
    set_distance(given, from, to, leg);
    set_bearing(given, from, to, leg);
    set_climb(given, from, to, leg);
    set_time(given, from, to, leg);
    leg.facts.set("card_escape_given", !given.escape.empty());
}

void set_card_references(const CardEnd& from, const CardEnd& to, bool from_is_new, Leg& leg) {
    Facts& facts = leg.facts;
    facts.set("card_to_reference", to_string(to.fault));
    std::string detail = fault_words(to);
    double off_m = to.off_m.value_or(0);
    if (from_is_new) {
        facts.set("card_from_reference", to_string(from.fault));
        const std::string words = fault_words(from);
        detail = words.empty() || detail.empty() ? words + detail : words + "; " + detail;
        off_m = std::max(off_m, from.off_m.value_or(0));
    }
    if (detail.empty()) return;
    facts.set("card_reference_detail", detail);
    facts.set("card_reference_off_m", off_m);
}

void set_card_clock(const route::Card& card, std::size_t index, Leg& leg) {
    const route::CardLeg& given = card.legs[index];
    std::optional<double> spent_min = given.total_min;
    if (given.travel_min) {
        const double sum_min = *given.travel_min + given.rest_min.value_or(0);
        if (given.total_min) leg.facts.set("card_leg_sum_off_min", std::abs(*given.total_min - sum_min));
        if (!spent_min) spent_min = sum_min;
    }
    const auto leaves = leaves_at(card, index);
    if (!leaves || !given.arrive) return;
    const double clock_min = minutes_between(*leaves, *given.arrive);
    leg.facts.set("card_clock_min", clock_min);
    if (!spent_min) return;
    leg.facts.set("card_spent_min", *spent_min);
    leg.facts.set("card_clock_off_min", std::abs(clock_min - *spent_min));
}

void set_card_totals(const route::Card& card, Facts& facts) {
    facts.set("card_remarks", static_cast<double>(card.remarks.size()));
    if (!card.remarks.empty())
        facts.set("card_first_remark",
                  fmt::format("line {}: {}", card.remarks.front().source_line, card.remarks.front().text));
    const auto distance = sum_of(card, [](const route::CardLeg& leg) { return leg.distance_m; });
    set_total(facts, "card_total_distance_off_m", card.total_distance_m, distance);
    set_total(facts, "card_total_ascent_off_m", card.total_ascent_m,
              sum_of(card, [](const route::CardLeg& leg) { return leg.ascent_m; }));
    const auto travel = sum_of(card, [](const route::CardLeg& leg) { return leg.travel_min; });
    set_total(facts, "card_total_travel_off_min", card.total_travel_min, travel);
    auto whole = sum_of(card, [](const route::CardLeg& leg) { return leg.total_min; });
    if (!whole && travel)
        whole = sum_of(card, [](const route::CardLeg& leg) {
            return std::optional(leg.travel_min.value_or(0) + leg.rest_min.value_or(0));
        });
    set_total(facts, "card_total_time_off_min", card.total_min, whole);
}

} // namespace waywarden::survey
