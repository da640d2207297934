#include "report/card_rows.hpp"

#include "report/leg_words.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <initializer_list>

namespace waywarden::report {

namespace {

const std::string k_unknown = "\xE2\x80\x93";

using Rules = std::initializer_list<const char*>;

/// Whether one of the rules fires on the leg.
bool said(const Assessed& route, const survey::Leg* leg, Rules rules) {
    if (!leg) return false;
    return std::any_of(route.findings.begin(), route.findings.end(), [&](const rules::Finding& finding) {
        return finding.about == survey::SubjectKind::leg &&
               std::abs(finding.from_m - leg->from.at_m) < 0.01 &&
               std::any_of(rules.begin(), rules.end(),
                           [&](const char* rule) { return finding.rule == rule; });
    });
}

std::string card_bearing(const route::CardLeg& leg) {
    if (leg.direction_text.empty()) return k_unknown;
    const bool says = leg.direction_text.find_first_of("mM") != std::string::npos;
    return leg.direction_magnetic && !says ? leg.direction_text + " mag" : leg.direction_text;
}

std::string walk_bearing(const route::CardLeg& given, const survey::Leg* leg) {
    if (!leg) return k_unknown;
    return given.direction_magnetic ? bearing_words(magnetic_bearing_of(*leg)) + " mag"
                                    : bearing_words(bearing_of(*leg));
}

std::string km(const std::optional<double>& metres) {
    return metres ? fmt::format("{:.1f}", *metres / 1000) : k_unknown;
}

std::string clock(const std::optional<std::chrono::seconds>& at) {
    if (!at) return k_unknown;
    const auto minutes = at->count() / 60;
    return fmt::format("{:02}:{:02}", minutes / 60, minutes % 60);
}

/// Where the end lies: its reference if it is on the line, the one that was meant, or none.
std::string walk_reference(const survey::CardEnd& end, const route::Card& card) {
    if (!end.meant.empty()) return end.meant;
    return end.placed ? survey::reference_of(end.place, card.grid) : k_unknown;
}

std::string written(const route::CardPlace& place) {
    return place.reference.empty() ? k_unknown : place.reference;
}

CardRow row_of(const Assessed& route, std::size_t index) {
    const survey::CheckedCard& checked = *route.card;
    const route::CardLeg& given = checked.card.legs[index];
    const survey::CardEnd& from = checked.places.ends[checked.places.from[index]];
    const survey::CardEnd& to = checked.places.ends[checked.places.to[index]];
    const auto at = checked.table_leg[index];
    const survey::Leg* leg = at ? &route.survey.legs.legs[*at] : nullptr;
    const std::string label = given.label.empty() ? std::to_string(index + 1) : given.label;
    const auto name = [](const route::CardPlace& place) {
        return place.name.empty() ? place.reference : place.name;
    };
    const bool compared = from.placed && to.placed;
    const survey::Leg* walked = compared ? leg : nullptr;
    const auto off = [&](const survey::CardEnd& end) { return end.fault != survey::ReferenceFault::none; };
    return {
        fmt::format("{}. {} to {}", label, name(from.place), name(to.place)),
        given.source_line,
        {{"from", written(from.place), walk_reference(from, checked.card), off(from)},
         {"to", written(to.place), walk_reference(to, checked.card), off(to)},
         {"bearing", card_bearing(given), walk_bearing(given, walked),
          said(route, leg, {"card-bearing-off", "card-bearing-reversed", "card-bearing-wrong-north"})},
         {"km", km(given.distance_m), walked ? km(walked->length_m) : k_unknown,
          said(route, leg, {"card-distance-off"})},
         {"up, m", climb_words(given.ascent_m), walked ? climb_words(walked->ascent_m) : k_unknown,
          said(route, leg, {"card-climb-off"})},
         {"walking", minutes_words(given.travel_min), walked ? minutes_words(walked->walking_min) : k_unknown,
          said(route, leg, {"card-time-short", "card-time-long", "card-leg-times-do-not-add-up"})},
         {"there", clock(given.arrive), walked ? clock_words(walked->arrives) : k_unknown,
          said(route, leg, {"card-clock-does-not-add-up"})}}};
}

} // namespace

std::vector<CardRow> card_rows(const Assessed& route) {
    std::vector<CardRow> out;
    for (std::size_t i = 0; route.card && i < route.card->card.legs.size(); ++i)
        out.push_back(row_of(route, i));
    return out;
}

std::vector<std::string> card_notes(const Assessed& route) {
    std::vector<std::string> out;
    if (!route.card) return out;
    const route::Card& card = route.card->card;
    if (card.total_line > 0) {
        const auto or_none = [](const std::string& text) { return text == k_unknown ? "none" : text; };
        out.push_back(
            fmt::format("The card sums up {} km and {} (line {}); the line is {:.1f} km long.",
                        or_none(km(card.total_distance_m)),
                        or_none(minutes_words(card.total_min ? card.total_min : card.total_travel_min)),
                        card.total_line, route.survey.length_m / 1000));
    }
    for (const route::CardRemark& remark : card.remarks)
        out.push_back(fmt::format("Line {}: {}.", remark.source_line, remark.text));
    return out;
}

} // namespace waywarden::report
