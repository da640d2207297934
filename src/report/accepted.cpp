#include "report/accepted.hpp"

#include "report/fingerprint.hpp"
#include "report/telling.hpp"
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

bool has_expired(const AcceptedFinding& one, const Assessment& assessment) {
    return assessment.date_s >= survey::time_of(one.acceptance.until).value_or(0) + k_day_s;
}

/// Why an acceptance does not hold for the finding it is nearest to, or "".
std::string lapse(const AcceptedFinding& one, const rules::Finding& now, const Assessment& assessment) {
    const rules::Finding& then = one.finding;
    const double longer_m = (now.to_m - now.from_m) - (then.to_m - then.from_m);
    if (now.blocks_vouching) return "what could not be checked cannot be accepted";
    if (has_expired(one, assessment)) return "it has expired";
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

/// An acceptance that was not used, and the finding it is nearest to, or null.
struct Unused {
    UnusedAcceptance told;
    const rules::Finding* there = nullptr;
};

/// Nothing where it was used.
std::optional<Unused> apply_one(const AcceptedFinding& one, Assessed& route, const Assessment& assessment) {
    using Because = UnusedAcceptance::Because;
    rules::Finding* const there = target(one, route);
    Unused out{{one.finding, one.acceptance, Because::nothing_there, "no longer found there"}, there};
    const bool expired = has_expired(one, assessment);
    if (!there) {
        if (expired) out.told.words += ", and it has expired";
        return out;
    }
    rules::Finding& finding = *there;
    const std::string why_not = lapse(one, finding, assessment);
    if (why_not.empty()) {
        finding.accepted = one.acceptance;
        finding.acceptance_lapsed.clear();
        return std::nullopt;
    }
    if (!finding.accepted)
        finding.acceptance_lapsed = fmt::format("{}; no longer counts: {}", words(one), why_not);
    out.told.because = finding.blocks_vouching ? Because::cannot_be_accepted
                       : expired               ? Because::expired
                                               : Because::changed;
    out.told.words = why_not;
    return out;
}

} // namespace

std::vector<std::string> apply_accepted(Assessment& assessment,
                                        const std::vector<AcceptedFinding>& accepted) {
    assessment.acceptances_read = true;
    std::vector<std::string> words;
    for (Assessed& route : assessment.routes) {
        std::vector<Unused> unused;
        for (const AcceptedFinding& one : accepted)
            if (one.route == route.route.name)
                if (auto more = apply_one(one, route, assessment)) unused.push_back(std::move(*more));
        for (Unused& one : unused) {
            if (one.there && one.there->accepted) continue; // by another entry, a newer one mostly
            words.push_back(fmt::format("in {}: {}", route.route.name, unused_words(one.told, route.grid)));
            route.unused_acceptances.push_back(std::move(one.told));
        }
        route.verdict = rules::verdict_of(route.findings);
    }
    return words;
}

} // namespace waywarden::report
