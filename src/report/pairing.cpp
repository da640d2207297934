#include "report/pairing.hpp"

#include "report/fingerprint.hpp"
#include "rules/message.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

namespace waywarden::report {

namespace {

using rules::Finding;

constexpr double k_redrawn_m = 30;
constexpr double k_longer_m = 50; // as for acceptances

struct Pair {
    bool gathered; ///< one of them stands for several places
    bool redrawn;  ///< no object in common
    double apart_m, along_m;
    std::size_t now, before;
};

bool share_an_object(const Finding& a, const Finding& b) {
    return std::any_of(a.evidence.begin(), a.evidence.end(), [&](const survey::Evidence& one) {
        return std::any_of(b.evidence.begin(), b.evidence.end(),
                           [&](const survey::Evidence& other) { return other.osm == one.osm; });
    });
}

/// Whether a finding may be the other though its ways have other numbers or it begins elsewhere now: at one
/// place, or along the same piece of the walk. That the metres overlap is not enough where the line was drawn
/// otherwise before: then the beginnings lie farther apart on the ground than along the walk.
bool same_piece(const Finding& a, const Finding& b) {
    const double apart_m = geo::distance_m(a.position, b.position);
    if (apart_m <= k_redrawn_m) return true;
    if (apart_m > std::abs(a.from_m - b.from_m) + k_redrawn_m) return false;
    const double shared_m = std::min(a.to_m, b.to_m) - std::max(a.from_m, b.from_m);
    if (shared_m <= 0) return false;
    return share_an_object(a, b) || shared_m >= 0.5 * std::max(a.to_m - a.from_m, b.to_m - b.from_m);
}

/// Whether two findings of one rule, one of them of several places, have a place in common.
bool in_gathered(const Finding& a, const Finding& b) {
    if (a.count == 1 && b.count == 1) return false;
    return std::min(a.to_m, b.to_m) - std::max(a.from_m, b.from_m) >= -k_redrawn_m && share_an_object(a, b);
}

/// All that could be the same: single ones with an object in common first, then those redrawn, then those
/// gathered; the nearest first.
std::vector<Pair> pairs(const std::vector<Finding>& now, const std::vector<Finding>& before) {
    std::vector<Pair> out;
    for (std::size_t i = 0; i < now.size(); ++i)
        for (std::size_t j = 0; j < before.size(); ++j) {
            if (now[i].rule != before[j].rule) continue;
            const bool same = same_place(now[i], before[j]), piece = same || same_piece(now[i], before[j]);
            if (!piece && !in_gathered(now[i], before[j])) continue;
            out.push_back({!piece, !same, geo::distance_m(now[i].position, before[j].position),
                           std::abs(now[i].from_m - before[j].from_m), i, j});
        }
    const auto key = [](const Pair& p) {
        return std::tuple(p.gathered, p.redrawn, p.apart_m, p.along_m, p.now, p.before);
    };
    std::sort(out.begin(), out.end(), [&](const Pair& a, const Pair& b) { return key(a) < key(b); });
    return out;
}

/// What makes a finding worse than it was, "" where nothing does.
std::string worse_words(const Finding& now, const Finding& before) {
    if (now.level > before.level)
        return fmt::format("it was here before as a {}",
                           before.level == rules::Level::note ? "note" : "caution");
    if (now.blocks_vouching && !before.blocks_vouching)
        return "it was here before, and did not keep the route from being vouched for";
    if (now.count > before.count)
        return fmt::format("{} found before, now {}",
                           before.count == 1 ? "one place was" : fmt::format("{} places were", before.count),
                           now.count);
    const double was_m = before.to_m - before.from_m, is_m = now.to_m - now.from_m;
    if (now.count == 1 && is_m > was_m + k_longer_m)
        return fmt::format("it was here before for {}, now for {}", rules::metres_words(was_m),
                           rules::metres_words(is_m));
    return "";
}

} // namespace

void pair_findings(Assessed& route, const Assessed& before) {
    std::vector<bool> found(route.findings.size(), false), still(before.findings.size(), false);
    const auto settle = [&](const Pair& pair) {
        Finding& now = route.findings[pair.now];
        now.state_why = worse_words(now, before.findings[pair.before]);
        if (now.state_why.empty()) now.state = rules::State::unchanged;
        found[pair.now] = still[pair.before] = true;
    };
    const std::vector<Pair> all = pairs(route.findings, before.findings);
    for (const Pair& pair : all)
        if (!found[pair.now] && !still[pair.before]) settle(pair);
    for (const Pair& pair : all) { // parts of what was gathered
        const Finding &now = route.findings[pair.now], &was = before.findings[pair.before];
        if (!found[pair.now] && was.count > 1) settle(pair);
        if (!still[pair.before] && now.count > 1) still[pair.before] = true;
    }
    for (std::size_t i = 0; i < still.size(); ++i) {
        if (still[i]) continue;
        Finding& absent = route.absent.emplace_back(before.findings[i]);
        absent.state = rules::State::absent;
        absent.accepted.reset();
    }
}

} // namespace waywarden::report
