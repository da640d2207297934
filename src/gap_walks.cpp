#include "gap_walks.hpp"

#include <algorithm>

namespace waywarden {

namespace {

constexpr double k_judged_m = 100; // the rule `long-gap-in-the-line` begins where this ends
constexpr double k_same_m = 50;    // common practice, no source: told there already

bool is_told(const std::vector<rules::Finding>& findings, const rules::Finding& of_gap, double at_m) {
    return std::any_of(findings.begin(), findings.end(), [&](const rules::Finding& one) {
        const bool there = one.from_m - k_same_m <= at_m && at_m <= one.to_m + k_same_m;
        return there && one.rule == of_gap.rule && one.level >= of_gap.level &&
               std::any_of(one.evidence.begin(), one.evidence.end(), [&](const survey::Evidence& known) {
                   return known.osm == of_gap.evidence.front().osm;
               });
    });
}

route::Route across(const route::Route& route, std::size_t segment) {
    route::Route line;
    line.name = route.name;
    line.path = route.path;
    line.format = route.format;
    line.segments = {{{route.segments[segment - 1].points.back(), route.segments[segment].points.front()}}};
    return line;
}

} // namespace

void add_across_gaps(const route::Route& route, const JudgeLine& judge,
                     std::vector<rules::Finding>& findings) {
    if (route.segments.size() < 2) return;
    const auto along_m = route::metres_along(route);
    std::vector<rules::Finding> brought;
    for (std::size_t s = 1; s < route.segments.size(); ++s) {
        const geo::Position before = route.segments[s - 1].points.back().position,
                            after = route.segments[s].points.front().position;
        if (geo::distance_m(before, after) > k_judged_m) continue;
        const double at_m = along_m[s].front();
        for (rules::Finding& one : judge(across(route, s))) {
            if (one.level < rules::Level::warning || one.evidence.empty()) continue;
            if (is_told(findings, one, at_m) || is_told(brought, one, at_m)) continue;
            one.message = "Straight across the gap in the line: " + one.message;
            one.from_m = one.to_m = at_m;
            brought.push_back(std::move(one));
        }
    }
    const auto by_place = [](const auto& a, const auto& b) { return a.from_m < b.from_m; };
    for (rules::Finding& one : brought)
        findings.insert(std::upper_bound(findings.begin(), findings.end(), one, by_place), std::move(one));
}

} // namespace waywarden
