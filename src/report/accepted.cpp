#include "report/accepted.hpp"

#include "report/fingerprint.hpp"
#include "report/words.hpp"
#include "survey/spots.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>

namespace waywarden::report {

namespace {

constexpr std::int64_t k_day_s = 86400;

const survey::Evidence* find(const std::vector<survey::Evidence>& all, map::ObjectId osm) {
    const auto at = std::find_if(all.begin(), all.end(), [&](const auto& one) { return one.osm == osm; });
    return at == all.end() ? nullptr : &*at;
}

std::string tag_words(const std::vector<std::pair<std::string, std::string>>& tags) {
    std::string out;
    for (const auto& [key, value] : tags)
        out += fmt::format("{}{}={}", out.empty() ? "" : " ", key, value);
    return out.empty() ? "no tags" : out;
}

/// What the map says now and did not say then, or "".
std::string map_changed(const rules::Finding& now, const rules::Finding& then) {
    for (const survey::Evidence& one : now.evidence) {
        const survey::Evidence* old = find(then.evidence, one.osm);
        if (!old) return fmt::format("{} did not count then", map::to_string(one.osm));
        auto a = one.tags, b = old->tags;
        std::sort(a.begin(), a.end());
        std::sort(b.begin(), b.end());
        if (a != b)
            return fmt::format("{} was {}, is {}", map::to_string(one.osm), tag_words(b), tag_words(a));
    }
    return "";
}

/// Why an acceptance does not hold for the finding it is nearest to, or "".
std::string lapse(const AcceptedFinding& one, const rules::Finding& now, const Assessment& assessment) {
    const rules::Finding& then = one.finding;
    const std::int64_t ends_s = survey::time_of(one.acceptance.until).value_or(0) + k_day_s;
    const double longer_m = (now.to_m - now.from_m) - (then.to_m - then.from_m);
    if (now.blocks_vouching) return "what could not be checked cannot be accepted";
    if (assessment.date_s >= ends_s) return "it has expired";
    if (one.party != assessment.party) return fmt::format("it was for the party {}", one.party);
    if (now.level > then.level) return "it has become worse since";
    if (now.count > then.count) return fmt::format("there were {} places then", then.count);
    if (longer_m > k_same_place_m)
        return fmt::format("it was {} long then", distance_words(then.to_m - then.from_m));
    if (const std::string changed = map_changed(now, then); !changed.empty())
        return "the map has changed: " + changed;
    return "";
}

/// The finding of a route that the acceptance is about: the nearest of those at the same place.
rules::Finding* target(const AcceptedFinding& one, Assessed& route) {
    rules::Finding* out = nullptr;
    std::tuple<double, double> least{std::numeric_limits<double>::infinity(), 0};
    for (rules::Finding& finding : route.findings) {
        if (!same_place(finding, one.finding)) continue;
        const std::tuple apart{geo::distance_m(finding.position, one.finding.position),
                               std::abs(finding.from_m - one.finding.from_m)};
        if (apart >= least) continue;
        least = apart;
        out = &finding;
    }
    return out;
}

std::string words(const AcceptedFinding& one) {
    return fmt::format("accepted by {} until {} ({})", one.acceptance.by,
                       date_words(std::string_view(one.acceptance.until)), one.acceptance.why);
}

/// The words for an acceptance that was not used; "" where it was.
std::string apply_one(const AcceptedFinding& one, Assessed& route, const Assessment& assessment) {
    rules::Finding* finding = target(one, route);
    if (!finding) return fmt::format("\"{}\" in {} is no longer found there", one.finding.title, one.route);
    const std::string why_not = lapse(one, *finding, assessment);
    if (why_not.empty()) {
        finding->accepted = one.acceptance;
        finding->acceptance_lapsed.clear();
        return "";
    }
    if (finding->accepted) return "";
    finding->acceptance_lapsed = fmt::format("{}; no longer counts: {}", words(one), why_not);
    return fmt::format("\"{}\" in {} {}", one.finding.title, one.route, finding->acceptance_lapsed);
}

} // namespace

std::vector<std::string> apply_accepted(Assessment& assessment,
                                        const std::vector<AcceptedFinding>& accepted) {
    assessment.acceptances_read = true;
    std::vector<std::string> unused;
    for (Assessed& route : assessment.routes) {
        for (const AcceptedFinding& one : accepted) {
            if (one.route != route.route.name) continue;
            if (std::string words = apply_one(one, route, assessment); !words.empty())
                unused.push_back(std::move(words));
        }
        route.verdict = rules::verdict_of(route.findings);
    }
    return unused;
}

} // namespace waywarden::report
