#include "survey/card_check.hpp"

#include "survey/along.hpp"
#include "survey/card_facts.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace waywarden::survey {

namespace {

constexpr double k_at_end_m = 60;   ///< so near the start or the finish a place of the card is that
constexpr double k_one_place_m = 1; ///< ends no farther apart part no leg

std::string end_name(const route::CardPlace& place, const std::string& otherwise) {
    if (!place.name.empty()) return place.name;
    return place.reference.empty() ? otherwise : place.reference;
}

/// The checkpoints of the walk, and which of them each end of the card is.
struct Parting {
    CheckpointList list;
    std::vector<std::size_t> checkpoint_of_end;
};

Parting parting_of(const CardPlaces& places, const route::Route& route, double length_m) {
    Parting out;
    auto& points = out.list.checkpoints;
    const Along along(route);
    out.list.from = "the card";
    const bool from_start = !places.ends.empty() && places.ends.front().at_m <= k_at_end_m;
    if (!from_start) points.push_back({"start", along.at(0), 0, 0});
    for (const CardEnd& end : places.ends) {
        const double at_m = points.empty() ? 0 : std::max(end.at_m, points.back().at_m);
        if (points.empty() || at_m - points.back().at_m > k_one_place_m)
            points.push_back({end_name(end.place, "checkpoint"), end.position, at_m,
                              geo::distance_m(end.position, along.at(at_m))});
        out.checkpoint_of_end.push_back(points.size() - 1);
    }
    if (length_m - points.back().at_m <= k_at_end_m && points.size() > 1)
        points.back().at_m = length_m;
    else
        points.push_back({"finish", along.at(length_m), length_m, 0});
    return out;
}

bool any_fact(const LegTable& table, const char* name) {
    return std::any_of(table.legs.begin(), table.legs.end(),
                       [&](const Leg& leg) { return leg.facts.get(name).has_value(); });
}

template <typename Has> bool any_leg(const route::Card& card, Has&& has) {
    return std::any_of(card.legs.begin(), card.legs.end(), has);
}

/// A gap of the line has no length: the leg is longer by nobody knows how much, and its table says so.
bool has_gap(const route::Route& route, const Leg& leg) {
    return std::any_of(route.oddities.begin(), route.oddities.end(), [&](const route::Oddity& oddity) {
        return oddity.kind == route::OddityKind::gap && oddity.from_m >= leg.from.at_m &&
               oddity.from_m <= leg.to.at_m;
    });
}

void leave_out_lengths(Facts& facts) {
    for (const char* name : {"card_distance_off_m", "card_distance_off_pct", "card_distance_beyond_m",
                             "card_distance_is_straight", "card_ascent_off_m", "card_ascent_off_pct",
                             "card_time_short_min", "card_time_short_pct", "card_time_long_pct"})
        if (facts.get(name)) facts.set_unknown(name);
}

/// Unknown is never right: what the card says and nothing here could be held against.
void tell_not_compared(const route::Card& card, Survey& survey) {
    auto& words = survey.not_seen;
    const auto tell = [&](const char* text) {
        words.insert(words.empty() ? words.end() : words.end() - 1, text);
    };
    if (any_leg(card, [](const route::CardLeg& leg) { return leg.ascent_m.has_value(); }) &&
        !any_fact(survey.legs, "card_ascent_off_m"))
        tell("The card's climbs were not checked: no heights are known.");
    if (any_leg(card, [](const route::CardLeg& leg) { return leg.travel_min.has_value(); }) &&
        !any_fact(survey.legs, "card_time_short_min"))
        tell("The card's walking times were not checked but for their sums: heights or the party's pace are "
             "not known.");
}

/// Where no heights are known the card's own climbs are better than none; they are not held against
/// themselves.
LegBasis with_told_climbs(LegBasis basis, const route::Card& card, const CardPlaces& places,
                          const Parting& parting) {
    for (std::size_t i = 0; i < card.legs.size(); ++i) {
        const std::size_t begin = parting.checkpoint_of_end[places.from[i]];
        if (card.legs[i].ascent_m && parting.checkpoint_of_end[places.to[i]] == begin + 1)
            basis.told_climbs[begin] = {*card.legs[i].ascent_m, card.legs[i].descent_m};
    }
    return basis;
}

} // namespace

std::string reference_of(const route::CardPlace& place, geo::GridSystem grid) {
    return place.square ? geo::grid_reference(place.square->middle, grid, place.figures) : "";
}

std::string place_words(const route::CardPlace& place) {
    if (place.name.empty()) return place.reference;
    return place.reference.empty() ? place.name : fmt::format("{} ({})", place.name, place.reference);
}

CheckedCard check_card(route::Card card, const route::Route& route, const map::Ground& ground,
                       const LegBasis& basis, Survey& survey) {
    CheckedCard out;
    out.places = card_places(card, route, ground);
    Parting parting = parting_of(out.places, route, survey.length_m);
    survey.legs = legs_between(route, survey, std::move(parting.list),
                               with_told_climbs(basis, card, out.places, parting));
    for (std::size_t i = 0; i < card.legs.size(); ++i) {
        const std::size_t begin = parting.checkpoint_of_end[out.places.from[i]];
        const std::size_t end = parting.checkpoint_of_end[out.places.to[i]];
        if (end != begin + 1) {
            out.table_leg.push_back(std::nullopt);
            card.remarks.push_back(
                {card.legs[i].source_line,
                 "this leg begins and ends at one place of the line; its figures were not compared"});
            continue;
        }
        out.table_leg.push_back(begin);
        Leg& leg = survey.legs.legs[begin];
        const CardEnd& from = out.places.ends[out.places.from[i]];
        const CardEnd& to = out.places.ends[out.places.to[i]];
        const bool from_is_new = i == 0 || out.places.from[i] != out.places.to[i - 1];
        set_card_figures(card.legs[i], from, to, leg);
        if (has_gap(route, leg)) leave_out_lengths(leg.facts);
        set_card_references(from, to, from_is_new, leg);
        set_card_clock(card, i, leg);
        leg.facts.set("card_begins_elsewhere", i > 0 && from_is_new);
    }
    set_card_totals(card, survey.route_facts);
    tell_not_compared(card, survey);
    out.card = std::move(card);
    return out;
}

} // namespace waywarden::survey
