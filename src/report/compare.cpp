#include "report/compare.hpp"

#include "report/changes.hpp"
#include "report/pairing.hpp"
#include "report/walk_index.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <limits>
#include <sstream>
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

/// How many of the words with which a change ends (what was "newly shown: ...") a finding does not use, as a
/// share.
double words_missing(const rules::Finding& finding, const Change& change) {
    const auto colon = change.text.rfind(": ");
    std::istringstream words(colon == std::string::npos ? change.text : change.text.substr(colon + 2));
    double missing = 0, all = 0;
    for (std::string word; words >> word; ++all)
        missing += finding.message.find(word) == std::string::npos;
    return all > 0 ? missing / all : 1;
}

/// What changed about the place of a finding: of several changes the one that covers most nearly the same
/// piece, one at a point for what is at a point, and of those the one that names the same. Of a finding
/// gathered from several places only its first place is looked at.
const Change* change_at(const rules::Finding& finding, double scale, const std::vector<Change>& changes) {
    constexpr double k_about_m = 30;
    const double from_m = finding.from_m * scale;
    const double to_m = finding.count > 1 ? from_m : finding.to_m * scale;
    const bool piece = to_m - from_m > k_about_m;
    const Change* best = nullptr;
    std::tuple least(true, std::numeric_limits<double>::infinity(), 1.0);
    for (const Change& change : changes) {
        if (change.from_m > to_m + k_about_m || change.to_m < from_m - k_about_m) continue;
        const bool other_kind = piece != (change.to_m - change.from_m > k_about_m);
        const std::tuple off(other_kind, std::abs(change.from_m - from_m) + std::abs(change.to_m - to_m),
                             words_missing(finding, change));
        if (off < least) best = &change, least = off;
    }
    return best;
}

/// Whether a finding tells of the map file, where what the map says of the place explains nothing.
bool is_about_the_data(const rules::Finding& finding) {
    return finding.rule.starts_with("map-");
}

/// Why a finding came or went. `walk` is the walk that lacks it, `scale` leads to metres along the walk now.
/// What the map says otherwise there is told as that, not as the cause.
std::string reason(const rules::Finding& finding, double scale, const std::vector<Change>& changes,
                   const WalkIndex& walk, const char* off_walk, bool other_rules) {
    if (is_about_the_data(finding)) return "";
    if (!walk.at(finding.position, 0)) return off_walk;
    if (const Change* change = change_at(finding, scale, changes))
        return "the map says otherwise here: " + change->text;
    return other_rules ? "the rules or the party are not those of the earlier result" : "";
}

/// `changes`: all there are, in order of the walk.
void give_reasons(Assessed& route, const Assessed& before, const std::vector<Change>& changes,
                  bool other_rules) {
    const WalkIndex old_walk(before.survey), new_walk(route.survey);
    for (rules::Finding& one : route.findings)
        if (one.state == rules::State::fresh && one.state_why.empty())
            one.state_why =
                reason(one, 1, changes, old_walk, "the line did not come here before", other_rules);
    const double scale = route.survey.length_m / std::max(before.survey.length_m, 1.0);
    for (rules::Finding& one : route.absent)
        one.state_why = reason(one, scale, changes, new_walk, "the line no longer comes here", other_rules);
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
        pair_findings(route, *earlier);
        if (earlier->survey.stretches.empty() || route.survey.stretches.empty()) continue;
        Differences found = changes_of(route.survey, earlier->survey);
        std::vector<Change> all;
        std::merge(found.changes.begin(), found.changes.end(), found.lesser.begin(), found.lesser.end(),
                   std::back_inserter(all),
                   [](const Change& a, const Change& b) { return a.from_m < b.from_m; });
        route.changes = std::move(found.changes);
        give_reasons(route, *earlier, all, !out.empty());
    }
    return out;
}

} // namespace waywarden::report
