#include "report/telling.hpp"

#include "report/ranking.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <utility>

namespace waywarden::report {

namespace {

using rules::Finding;
using rules::Level;
using rules::Verdict;

/// Whether a finding is one of those that brought the verdict about.
bool decides(const Finding& finding, Verdict verdict) {
    if (finding.accepted) return false;
    switch (verdict) {
    case Verdict::cannot_vouch:
        return finding.blocks_vouching;
    case Verdict::objections:
        return finding.level == Level::error;
    case Verdict::cautions:
        return finding.level == Level::warning;
    case Verdict::no_objection:
        return false;
    }
    return false;
}

} // namespace

std::string counts(const Assessed& route) {
    const Tally t = tally(route);
    return fmt::format("{}, {}, {}{}", counted(t.errors, "objection", "objections"),
                       counted(t.warnings, "caution", "cautions"), counted(t.notes, "note", "notes"),
                       t.accepted ? fmt::format(", {} accepted", t.accepted) : "");
}

std::string what_it_means(const Assessed& route) {
    switch (route.verdict) {
    case Verdict::cannot_vouch:
        return "Some of this route could not be checked at all. Nothing below says that it is fit to walk.";
    case Verdict::objections:
        return "Each objection needs an answer before anyone says yes.";
    case Verdict::cautions:
        return "Nothing found that must stop it. Look at each caution before saying yes.";
    case Verdict::no_objection:
        if (tally(route).accepted)
            return "Beyond what was accepted the map data gives no ground to object. That is not an "
                   "approval: "
                   "read what was accepted, and what was not seen.";
        return "The map data gives no ground to object. That is not an approval: see what was not seen.";
    }
    return "";
}

std::string acceptance_words(const Finding& finding) {
    if (finding.accepted)
        return fmt::format("Accepted by {} until {}: {}", finding.accepted->by,
                           date_words(std::string_view(finding.accepted->until)), finding.accepted->why);
    if (finding.acceptance_lapsed.empty()) return "";
    return fmt::format("Before: {}", finding.acceptance_lapsed);
}

/// The findings that decided, by title, with where each begins; in order of the walk.
std::vector<Reason> reasons(const Assessed& route) {
    std::vector<Reason> out;
    for (const Finding& one : route.findings) {
        if (!decides(one, route.verdict)) continue;
        auto known =
            std::find_if(out.begin(), out.end(), [&](const Reason& r) { return r.title == one.title; });
        if (known == out.end()) known = out.insert(out.end(), Reason{one.title, {}});
        known->from_m.push_back(one.from_m);
    }
    return out;
}

std::string reason_words(const Reason& reason) {
    constexpr std::size_t k_most_places = 6;
    std::string places;
    for (std::size_t i = 0; i < std::min(reason.from_m.size(), k_most_places); ++i)
        places += fmt::format("{}{:.1f}", i ? ", " : "", reason.from_m[i] / 1000);
    if (reason.from_m.size() > k_most_places)
        places += fmt::format(" and {} more", reason.from_m.size() - k_most_places);
    return fmt::format("{} (km {})", reason.title, places);
}

std::string access_words(map::Access access) {
    std::string out = map::to_string(access);
    std::replace(out.begin(), out.end(), '_', ' ');
    return out;
}

std::vector<std::pair<map::Access, double>> metres_by_access(const Assessed& route) {
    std::map<std::string, std::pair<map::Access, double>> sums; // by name, which decides between equals
    for (const survey::StretchSurvey& one : route.survey.stretches) {
        auto& sum = sums[map::to_string(one.reading.access)];
        sum = {one.reading.access, sum.second + one.to_m - one.from_m};
    }
    std::vector<std::pair<map::Access, double>> out;
    for (const auto& [name, sum] : sums)
        out.push_back(sum);
    std::stable_sort(out.begin(), out.end(),
                     [](const auto& a, const auto& b) { return a.second > b.second; });
    return out;
}

std::string lengths_by_access(const Assessed& route) {
    std::string out;
    for (const auto& [access, length_m] : metres_by_access(route))
        out +=
            fmt::format("{}{} {}", out.empty() ? "" : ", ", access_words(access), distance_words(length_m));
    return out;
}

std::string crossing_counts(const Assessed& route) {
    std::map<survey::CrossingOf, std::set<int>> places;
    for (const survey::Crossing& one : route.survey.crossings)
        places[one.of].insert(one.place);
    const std::pair<survey::CrossingOf, const char*> kinds[] = {{survey::CrossingOf::road, "roads"},
                                                                {survey::CrossingOf::rail, "railways"},
                                                                {survey::CrossingOf::water, "water"},
                                                                {survey::CrossingOf::barrier, "barriers"}};
    std::string out;
    for (const auto& [of, word] : kinds)
        if (places.contains(of))
            out += fmt::format("{}{} {}", out.empty() ? "" : ", ", word, places[of].size());
    return out;
}

std::string place_of(const Finding& finding, geo::GridSystem grid) {
    const std::string at = geo::grid_reference(finding.position, grid);
    const std::string from = km_words(finding.from_m), to = km_words(finding.to_m);
    if (from == to) return fmt::format("{}, at km {}", at, from);
    if (finding.count > 1) return fmt::format("{}, between km {} and {}", at, from, to);
    return fmt::format("{}, km {} to {} ({})", at, from, to, distance_words(finding.to_m - finding.from_m));
}

std::string evidence_words(const survey::Evidence& evidence) {
    std::string out = map::to_string(evidence.osm);
    const char* before = " ";
    for (const auto& [key, value] : evidence.tags)
        out += fmt::format("{}{}={}", std::exchange(before, ", "), key, value);
    out += evidence.edited_s ? fmt::format(" (edited {})", date_words(evidence.edited_s))
                             : " (edit date not known)";
    return out;
}

std::string grade_of(const Finding& finding) {
    const bool tagged = finding.grade == rules::EvidenceGrade::explicit_tag ||
                        finding.grade == rules::EvidenceGrade::explicit_recent;
    return tagged && finding.evidence.empty() ? "the line as drawn, against the map"
                                              : grade_words(finding.grade);
}

std::string unused_words(const UnusedAcceptance& unused, geo::GridSystem grid) {
    return fmt::format("\"{}\" ({}), accepted by {} until {} ({}): {}", unused.finding.title,
                       place_of(unused.finding, grid), unused.acceptance.by,
                       date_words(std::string_view(unused.acceptance.until)), unused.acceptance.why,
                       unused.words);
}

std::string data_age_words(const map::Source& source) {
    if (!source.data_until) return "nobody knows how old its data is";
    return fmt::format("data until {}{}", date_words(*source.data_until),
                       source.data_until_from_header ? "" : " (its newest edit; the file gives no date)");
}

namespace {

std::vector<std::string> credits(const std::vector<map::Source>& sources) {
    std::vector<std::string> out;
    for (const map::Source& source : sources)
        if (std::find(out.begin(), out.end(), source.attribution) == out.end())
            out.push_back(source.attribution);
    if (out.empty()) out.emplace_back(map::k_osm_attribution);
    return out;
}

} // namespace

std::string attribution(const std::vector<map::Source>& sources) {
    std::string out;
    for (const std::string& one : credits(sources))
        out += (out.empty() ? "" : "; ") + one;
    return out;
}

std::string attribution_words(const std::vector<map::Source>& sources) {
    std::string out;
    for (const std::string& one : credits(sources)) {
        out += out.empty() ? "Map data" : " Map data";
        if (one.starts_with(map::k_osm_attribution))
            out += fmt::format(" {}, under the Open Database Licence{}.", map::k_osm_attribution,
                               one.substr(map::k_osm_attribution.size()));
        else
            out += ": " + one + ".";
    }
    return out;
}

std::string change_words(const Change& change, geo::GridSystem grid) {
    const std::string where =
        change.to_m > change.from_m
            ? fmt::format("from {} to {} km", km_words(change.from_m), km_words(change.to_m))
            : fmt::format("at {} km", km_words(change.from_m));
    return fmt::format("{} ({}): {}", where, geo::grid_reference(change.position, grid), change.text);
}

} // namespace waywarden::report
