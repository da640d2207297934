#include "report/compare.hpp"

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
    double apart_m, along_m;
    std::size_t now, before;
};

/// All that could be the same, the nearest first.
std::vector<Pair> pairs(const std::vector<rules::Finding>& now, const std::vector<rules::Finding>& before) {
    std::vector<Pair> out;
    for (std::size_t i = 0; i < now.size(); ++i)
        for (std::size_t j = 0; j < before.size(); ++j)
            if (same_place(now[i], before[j]))
                out.push_back({geo::distance_m(now[i].position, before[j].position),
                               std::abs(now[i].from_m - before[j].from_m), i, j});
    const auto key = [](const Pair& p) { return std::tuple(p.apart_m, p.along_m, p.now, p.before); };
    std::sort(out.begin(), out.end(), [&](const Pair& a, const Pair& b) { return key(a) < key(b); });
    return out;
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
    }
    return out;
}

} // namespace waywarden::report
