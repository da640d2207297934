#include "report/compare.hpp"

#include "report/changes.hpp"
#include "report/fingerprint.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

namespace waywarden::report {

namespace {

const Assessed* counterpart(const Assessed& route, const std::vector<Assessed>& before) {
    const auto find = [&](bool name, bool path) -> const Assessed* {
        const Assessed* found = nullptr;
        for (const Assessed& one : before) {
            if ((name && one.route.name != route.route.name) || (path && one.route.path != route.route.path))
                continue;
            if (found) return nullptr; // several: nobody knows which
            found = &one;
        }
        return found;
    };
    for (const auto& [name, path] : {std::pair(true, true), {true, false}, {false, true}})
        if (const Assessed* one = find(name, path)) return one;
    return nullptr;
}

struct Pair {
    bool redrawn; ///< no object in common
    double apart_m, along_m;
    std::size_t now, before;
};

/// Whether a finding may be the other though its ways have other numbers now: the same rule at the same piece
/// of the walk.
bool same_piece(const rules::Finding& a, const rules::Finding& b) {
    constexpr double k_redrawn_m = 30;
    if (a.rule != b.rule) return false;
    if (geo::distance_m(a.position, b.position) <= k_redrawn_m) return true;
    const double shared_m = std::min(a.to_m, b.to_m) - std::max(a.from_m, b.from_m);
    return shared_m > 0 && shared_m >= 0.5 * std::max(a.to_m - a.from_m, b.to_m - b.from_m);
}

/// All that could be the same: those with an object in common first, then those redrawn, the nearest first.
std::vector<Pair> pairs(const std::vector<rules::Finding>& now, const std::vector<rules::Finding>& before) {
    std::vector<Pair> out;
    for (std::size_t i = 0; i < now.size(); ++i)
        for (std::size_t j = 0; j < before.size(); ++j) {
            const bool same = same_place(now[i], before[j]);
            if (same || same_piece(now[i], before[j]))
                out.push_back({!same, geo::distance_m(now[i].position, before[j].position),
                               std::abs(now[i].from_m - before[j].from_m), i, j});
        }
    const auto key = [](const Pair& p) {
        return std::tuple(p.redrawn, p.apart_m, p.along_m, p.now, p.before);
    };
    std::sort(out.begin(), out.end(), [&](const Pair& a, const Pair& b) { return key(a) < key(b); });
    return out;
}

/// Why a finding came or went, by what changed about its place on `walk`, the walk that lacks it.
std::string reason(const rules::Finding& finding, double scale, const std::vector<Change>& changes,
                   const survey::Survey& walk, const char* off_walk, bool other_rules) {
    constexpr double k_about_m = 30;
    if (walk.stretches.empty()) return "";
    if (!is_on_walk(walk, finding.position)) return off_walk;
    for (const Change& change : changes)
        if (change.from_m <= finding.to_m * scale + k_about_m &&
            change.to_m >= finding.from_m * scale - k_about_m)
            return "the map changed: " + change.text;
    return other_rules ? "the rules or the party are not those of the earlier result" : "";
}

void give_reasons(Assessed& route, const Assessed& before, bool other_rules) {
    for (rules::Finding& one : route.findings)
        if (one.state == rules::State::fresh)
            one.state_why = reason(one, 1, route.changes, before.survey, "the line did not come here before",
                                   other_rules);
    const double scale = route.survey.length_m / std::max(before.survey.length_m, 1.0);
    for (rules::Finding& one : route.absent)
        one.state_why =
            reason(one, scale, route.changes, route.survey, "the line no longer comes here", other_rules);
}

void compare_route(Assessed& route, const Assessed& before) {
    std::vector<bool> gone(before.findings.size(), true);
    for (const Pair& pair : pairs(route.findings, before.findings)) {
        rules::Finding& now = route.findings[pair.now];
        if (now.state == rules::State::unchanged || !gone[pair.before]) continue;
        now.state = rules::State::unchanged;
        gone[pair.before] = false;
    }
    for (std::size_t i = 0; i < gone.size(); ++i) {
        if (!gone[i]) continue;
        rules::Finding& absent = route.absent.emplace_back(before.findings[i]);
        absent.state = rules::State::absent;
        absent.accepted.reset();
    }
}

std::string set_names(const Assessment& assessment) {
    std::string out;
    for (const rules::SetName& set : assessment.rule_sets)
        out += fmt::format("{}{} {}", out.empty() ? "" : ", ", set.name, set.version);
    return out;
}

std::vector<std::string> differences(const Assessment& now, const Assessment& before) {
    std::vector<std::string> out;
    if (now.party != before.party)
        out.push_back(
            fmt::format("was judged for party {}, now it is {}: what is new or gone may be due to that",
                        before.party, now.party));
    if (set_names(now) != set_names(before))
        out.push_back(
            fmt::format("was judged by rules {}, now it is {}: what is new or gone may be due to that",
                        set_names(before), set_names(now)));
    return out;
}

} // namespace

std::vector<std::string> compare(Assessment& now, const Assessment& before) {
    std::vector<std::string> out = differences(now, before);
    now.compared = true;
    for (Assessed& route : now.routes) {
        for (rules::Finding& one : route.findings)
            one.state = rules::State::fresh;
        const Assessed* earlier = counterpart(route, before.routes);
        if (!earlier) {
            out.push_back(fmt::format("holds no route \"{}\", or more than one: all its findings are new",
                                      route.route.name));
            continue;
        }
        if (earlier->region != route.region)
            out.push_back(fmt::format("\"{}\" was judged for region {}, now it is {}", route.route.name,
                                      earlier->region, route.region));
        compare_route(route, *earlier);
        if (earlier->survey.stretches.empty() || route.survey.stretches.empty()) continue;
        route.changes = changes_of(route.survey, earlier->survey);
        give_reasons(route, *earlier, !out.empty());
        std::erase_if(route.changes, [](const Change& one) {
            return one.to_m > one.from_m && one.to_m - one.from_m < k_change_worth_telling_m;
        });
    }
    return out;
}

} // namespace waywarden::report
