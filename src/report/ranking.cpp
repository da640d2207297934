#include "report/ranking.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>
#include <utility>

namespace waywarden::report {

namespace {

int weight(const rules::Finding& finding) {
    if (finding.accepted) return -1;
    return finding.blocks_vouching ? 3 : static_cast<int>(finding.level);
}

} // namespace

std::vector<const rules::Finding*> ranked(const Assessed& route) {
    std::vector<const rules::Finding*> out;
    for (const rules::Finding& one : route.findings)
        out.push_back(&one);
    std::stable_sort(out.begin(), out.end(), [](const rules::Finding* a, const rules::Finding* b) {
        return weight(*a) != weight(*b) ? weight(*a) > weight(*b)
                                        : rounded_m(a->from_m) < rounded_m(b->from_m);
    });
    return out;
}

Tally tally(const Assessed& route) {
    Tally out;
    for (const rules::Finding& one : route.findings) {
        if (one.accepted) {
            ++out.accepted;
            continue;
        }
        out.errors += one.level == rules::Level::error ? 1 : 0;
        out.warnings += one.level == rules::Level::warning ? 1 : 0;
        out.notes += one.level == rules::Level::note ? 1 : 0;
    }
    return out;
}

std::vector<const Assessed*> worst_first(const Assessment& assessment) {
    std::vector<std::pair<Tally, const Assessed*>> rows;
    for (const Assessed& route : assessment.routes)
        rows.emplace_back(tally(route), &route);
    const auto harm = [](const auto& row) {
        return std::tuple(row.second->verdict, row.first.errors, row.first.warnings, row.first.notes);
    };
    std::stable_sort(rows.begin(), rows.end(),
                     [&](const auto& a, const auto& b) { return harm(a) > harm(b); });
    std::vector<const Assessed*> out;
    for (const auto& [counted, route] : rows)
        out.push_back(route);
    return out;
}

double rounded_m(double metres) {
    return std::round(metres * 100) / 100;
}

} // namespace waywarden::report
