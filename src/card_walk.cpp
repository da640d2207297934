#include "card_walk.hpp"

#include "error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <span>
#include <tuple>
#include <utility>

namespace waywarden {

namespace {

constexpr double k_joined_m = 1; // as for the segments of a file
constexpr double k_touch_m = 20; // of a finding, in a neighbouring leg: says nothing of that leg

const char* const k_by_another_way = " (by another way)";

std::string length_words(double m) {
    return m >= 1000 ? fmt::format("{:.1f} km", m / 1000) : fmt::format("{:.0f} m", m);
}

std::string difference_words(double m) {
    if (std::abs(m) < 10) return "as long";
    return fmt::format("{} {}", length_words(std::abs(m)), m > 0 ? "longer" : "shorter");
}

std::string way_words(const match::LegWays& leg, const match::LegWalk& other) {
    return fmt::format("by {} ({})", other.by.empty() ? "another way" : other.by,
                       difference_words(other.length_m - leg.likeliest.length_m));
}

std::string from_to(const match::CardPlan& plan, std::size_t leg) {
    return fmt::format("from {} to {}", plan.checkpoints[leg].name, plan.checkpoints[leg + 1].name);
}

/// Appends a leg's line; its metres along the route. Legs that do not join begin a new segment.
std::pair<double, double> append(const match::LegWalk& leg, std::size_t source_line, route::Route& route,
                                 double& length_m) {
    if (leg.length_m == 0) return {length_m, length_m};
    if (route.segments.empty() ||
        geo::distance_m(route.segments.back().points.back().position, leg.line.front()) > k_joined_m)
        route.segments.emplace_back();
    const double from_m = length_m;
    for (const geo::Position p : leg.line) {
        auto& points = route.segments.back().points;
        if (!points.empty()) length_m += geo::distance_m(points.back().position, p);
        points.push_back({p, {}, source_line});
    }
    return {from_m, length_m};
}

/// The walk with the n-th other way wherever a leg has one.
void add_variant(const match::CardPlan& plan, const match::Between& found, std::size_t n, CardWalk& out) {
    route::Route route = found.route;
    route.segments.clear();
    double length_m = 0;
    for (std::size_t k = 0; k < found.legs.size(); ++k) {
        const match::LegWays& leg = found.legs[k];
        CardWalk::Leg::Other other;
        other.given = n < leg.others.size();
        const match::LegWalk& walk = other.given ? leg.others[n] : leg.likeliest;
        std::tie(other.from_m, other.to_m) = append(walk, plan.checkpoints[k].source_line, route, length_m);
        if (other.given) other.words = from_to(plan, k) + " " + way_words(leg, walk);
        out.legs[k].others.push_back(std::move(other));
    }
    // Where a guess is made is told of the likeliest walk.
    route.oddities.clear();
    out.variants.push_back(std::move(route));
}

/// What is told of a leg that can be walked in several ways.
void add_oddity(const match::CardPlan& plan, const match::Between& found, std::size_t k, CardWalk& out) {
    const match::LegWays& leg = found.legs[k];
    if (leg.others.empty()) return;
    std::string ways;
    for (const match::LegWalk& other : leg.others)
        ways += (ways.empty() ? "" : ", ") + way_words(leg, other);
    const CardWalk::Leg& at = out.legs[k];
    out.likeliest.oddities.push_back(
        {route::OddityKind::other_ways, at.from_m, at.to_m, at.to_m - at.from_m, leg.likeliest.line.front(),
         plan.checkpoints[k].source_line,
         fmt::format(
             "The card does not say which way they go {}. Taken as likeliest: {} long. Also possible: "
             "{}{}.",
             from_to(plan, k), length_words(leg.likeliest.length_m), ways, leg.more ? " and others" : "")});
}

std::string how_it_came_about(const match::CardPlan& plan, const match::Between& found) {
    std::size_t several = 0, guessed = 0;
    for (const match::LegWays& leg : found.legs) {
        if (!leg.others.empty()) ++several;
        if (leg.guessed) ++guessed;
    }
    return fmt::format(
        "The card names squares and no line. Checked was the walk that a team would most likely take between "
        "them, by what the map shows: short, paths before quiet roads and those before main roads. In {} of "
        "{} legs other ways are at most a fifth longer; up to three of them were checked too, and "
        "what they add is told. In {} legs the walk is a guess. Ask the team for the line.",
        several, plan.legs.size(), guessed);
}

/// Whether a finding is of a leg and does not only touch its end, where the one before or behind is met.
bool is_of(const rules::Finding& f, double from_m, double to_m) {
    const double common_m = std::min(f.to_m, to_m) - std::max(f.from_m, from_m);
    return common_m >= std::min(k_touch_m, f.to_m - f.from_m);
}

/// Whether the likeliest walk has as bad a finding of the rule in the leg.
bool is_as_bad(std::span<const rules::Finding> own, const rules::Finding& f, const CardWalk::Leg& leg) {
    return std::any_of(own.begin(), own.end(), [&](const rules::Finding& one) {
        return one.rule == f.rule && one.level >= f.level && is_of(one, leg.from_m, leg.to_m);
    });
}

/// Two variants may go the same way where a leg differs only in part.
bool is_told(std::span<const rules::Finding> brought, const rules::Finding& f) {
    return std::any_of(brought.begin(), brought.end(), [&](const rules::Finding& one) {
        return one.rule == f.rule && one.message == f.message && one.from_m == f.from_m;
    });
}

/// Several places in one: which of them are in a leg is not known any more.
bool is_gathered(const rules::Finding& f, double from_m, double to_m) {
    return f.count > 1 && (f.from_m < from_m - k_touch_m || f.to_m > to_m + k_touch_m);
}

/// Whether a finding rests on an object of the map that none of the others of its rule rests on.
bool has_new_object(const rules::Finding& f, std::span<const rules::Finding> others) {
    const auto known = [&](const survey::Evidence& evidence) {
        return std::any_of(others.begin(), others.end(), [&](const rules::Finding& one) {
            return one.rule == f.rule && one.level >= f.level &&
                   std::any_of(one.evidence.begin(), one.evidence.end(),
                               [&](const survey::Evidence& e) { return e.osm == evidence.osm; });
        });
    };
    return !std::all_of(f.evidence.begin(), f.evidence.end(), known);
}

/// As it is told of a leg.
rules::Finding of_leg(const rules::Finding& f, const CardWalk::Leg& leg, const std::string& way) {
    rules::Finding out = f;
    out.title += k_by_another_way;
    out.message = fmt::format("If they go {}: {}", way, f.message);
    out.from_m = leg.from_m;
    out.to_m = leg.to_m;
    return out;
}

/// As it is told of the walk: places that other ways add to those of the likeliest are not told one by one.
rules::Finding of_walk(const rules::Finding& f, double length_m) {
    rules::Finding out = f;
    out.title += k_by_another_way;
    out.message = fmt::format("If they take other ways than the likeliest, on the whole walk: {}", f.message);
    out.from_m = 0;
    out.to_m = length_m;
    return out;
}

} // namespace

map::Corridor card_corridor(const match::CardPlan& plan) {
    map::Corridor out;
    out.reach_m = match::reach_m(plan);
    auto& line = out.lines.emplace_back();
    for (const match::Checkpoint& checkpoint : plan.checkpoints)
        if (checkpoint.square) line.push_back(checkpoint.square->middle);
    return out;
}

CardWalk walk_card(const route::Card& card, const map::Ground& ground) {
    const match::CardPlan plan = match::plan_of(card);
    match::Between found = match::between(plan, ground);
    CardWalk out;
    out.likeliest = found.route;
    out.likeliest.path = card.path;
    out.legs.resize(found.legs.size());
    double at_m = 0;
    std::size_t most = 0;
    for (std::size_t k = 0; k < found.legs.size(); ++k) {
        out.legs[k].from_m = at_m;
        out.legs[k].to_m = at_m += found.legs[k].likeliest.length_m;
        most = std::max(most, found.legs[k].others.size());
        add_oddity(plan, found, k, out);
    }
    std::stable_sort(out.likeliest.oddities.begin(), out.likeliest.oddities.end(),
                     [](const auto& a, const auto& b) { return a.from_m < b.from_m; });
    for (std::size_t n = 0; n < most; ++n)
        add_variant(plan, found, n, out);
    for (route::Route& variant : out.variants)
        variant.path = card.path;
    out.not_seen = how_it_came_about(plan, found);
    return out;
}

void add_worse(const CardWalk& walk, const std::vector<std::vector<rules::Finding>>& found,
               std::vector<rules::Finding>& findings) {
    std::vector<rules::Finding> brought;
    for (std::size_t variant = 0; variant < found.size(); ++variant)
        for (const rules::Finding& f : found[variant]) {
            if (f.level < rules::Level::warning) continue;
            for (const CardWalk::Leg& leg : walk.legs) {
                const auto& other = leg.others[variant];
                if (!other.given || !is_of(f, other.from_m, other.to_m)) continue;
                const bool gathered = is_gathered(f, other.from_m, other.to_m);
                if (gathered ? !has_new_object(f, findings) || !has_new_object(f, brought)
                             : is_as_bad(findings, f, leg))
                    continue;
                rules::Finding one =
                    gathered ? of_walk(f, walk.legs.back().to_m) : of_leg(f, leg, other.words);
                if (!is_told(brought, one)) brought.push_back(std::move(one));
                break; // one that runs over several legs is told of the first
            }
        }
    findings.insert(findings.end(), brought.begin(), brought.end());
}

} // namespace waywarden
