#include "rules/gather.hpp"

#include "rules/evidence_grade.hpp"
#include "rules/message.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace waywarden::rules {

namespace {

using survey::Facts;

constexpr double k_dense_m = 1000;       ///< three or more notes within this become one
constexpr std::size_t k_dense_count = 3; ///< a leader who sees sixty notes reads none
constexpr std::size_t k_most_places = 8; ///< listed in a message

double length_of(const Run& run) {
    double out = 0;
    for (const Shot& shot : run)
        out += shot.length_m;
    return out;
}

Level level_of(const Rule& rule, const Run& run, double length_m, const Setting& setting) {
    Level worst = Level::note;
    for (const Shot& shot : run) {
        Facts facts = *shot.facts;
        if (run.size() > 1 || length_m > 0) facts.set("length_m", length_m);
        worst = std::max(worst, graded(rule, shot.level, {facts, setting}));
    }
    return worst;
}

/// The facts that are not known and that the rule asks for.
std::string unknown_words(const Run& run) {
    std::vector<std::string> out;
    for (const Shot& shot : run)
        for (const std::string& name : shot.deciding) {
            if (!shot.unknown || shot.facts->get(name)) continue;
            std::string title = fact_title(name);
            if (std::find(out.begin(), out.end(), title) == out.end()) out.push_back(std::move(title));
        }
    return out.empty() ? "" : fmt::format(" Not recorded: {}.", fmt::join(out, ", "));
}

/// The readings between which it cannot be told, and for how much of a run that was joined.
std::string doubt_words(const Run& run) {
    std::string doubt;
    double length_m = 0;
    for (const Shot& shot : run) {
        if (shot.doubt.empty()) continue;
        if (doubt.empty()) doubt = shot.doubt;
        length_m += shot.length_m;
    }
    if (doubt.empty()) return "";
    const bool whole = length_m > length_of(run) - 1;
    return fmt::format(
        " {} {}; judged by the worse.",
        whole ? "Cannot tell" : fmt::format("For {} of it cannot tell", metres_words(length_m)), doubt);
}

std::string message_of(const Rule& rule, const Run& run, double length_m) {
    std::vector<const Facts*> facts;
    for (const Shot& shot : run)
        facts.push_back(shot.facts);
    const bool unknown = std::any_of(run.begin(), run.end(), [](const Shot& s) { return s.unknown; });
    std::string out = fill_message(unknown ? rule.message_unknown : rule.message, facts, length_m);
    if (!out.ends_with('.')) out += '.';
    if (unknown) out += unknown_words(run);
    return out + doubt_words(run);
}

std::string question_of(const Rule& rule, const Run& run, double length_m) {
    if (rule.ask.empty()) return "";
    return fill_message(rule.ask, {run.front().facts}, length_m);
}

void add_evidence(std::vector<survey::Evidence>& all, const survey::Evidence& one) {
    const auto same = [&](const survey::Evidence& other) { return other.osm == one.osm; };
    if (std::none_of(all.begin(), all.end(), same)) all.push_back(one);
}

std::string km_of(const Finding& finding) {
    return fmt::format("{:.1f}", finding.from_m / 1000);
}

bool may_gather(const Finding& finding, Level level) {
    return finding.level == level && !finding.blocks_vouching;
}

/// Several findings of one level as one: the place of the first, the words of the longest.
Finding merged(const std::vector<Finding>& findings, const std::string& title) {
    const auto longest =
        std::max_element(findings.begin(), findings.end(), [](const Finding& a, const Finding& b) {
            return a.to_m - a.from_m < b.to_m - b.from_m;
        });
    Finding out = findings.front();
    double length_m = 0;
    std::vector<std::string> places;
    for (const Finding& one : findings) {
        out.to_m = std::max(out.to_m, one.to_m);
        out.grade = std::max(out.grade, one.grade);
        out.cannot_tell = out.cannot_tell || one.cannot_tell;
        length_m += one.to_m - one.from_m;
        if (places.size() < k_most_places) places.push_back(km_of(one));
        if (&one != &findings.front()) {
            out.count += one.count;
            for (const survey::Evidence& evidence : one.evidence)
                add_evidence(out.evidence, evidence);
        }
    }
    const std::size_t rest = findings.size() - places.size();
    out.message = fmt::format("{}: {} places{}, at km {}{}. {}: {}", title, findings.size(),
                              length_m >= 1 ? ", " + metres_words(length_m) + " in all" : "",
                              fmt::join(places, ", "), rest > 0 ? fmt::format(" and {} more", rest) : "",
                              length_m >= 1 ? "The longest" : "The first", longest->message);
    return out;
}

/// Which findings have two more of their kind within k_dense_m.
std::vector<bool> dense(const std::vector<Finding>& findings) {
    std::vector<bool> out(findings.size(), false);
    for (std::size_t i = 0; i + k_dense_count <= findings.size(); ++i)
        if (findings[i + k_dense_count - 1].from_m - findings[i].from_m <= k_dense_m)
            std::fill_n(out.begin() + static_cast<std::ptrdiff_t>(i), k_dense_count, true);
    return out;
}

std::vector<Finding> gather_dense(const Rule& rule, const std::vector<Finding>& notes) {
    const std::vector<bool> crowded = dense(notes);
    std::vector<Finding> out;
    for (std::size_t i = 0; i < notes.size();) {
        std::size_t end = i + 1;
        if (crowded[i])
            while (end < notes.size() && crowded[end] &&
                   notes[end].from_m - notes[end - 1].from_m <= k_dense_m)
                ++end;
        const std::vector<Finding> group(notes.begin() + static_cast<std::ptrdiff_t>(i),
                                         notes.begin() + static_cast<std::ptrdiff_t>(end));
        out.push_back(group.size() > 1 ? merged(group, rule.title) : group.front());
        i = end;
    }
    return out;
}

} // namespace

std::vector<Run> joined(std::vector<Shot> shots, double within_m) {
    constexpr double k_touch_m = 0.01;
    std::stable_sort(shots.begin(), shots.end(),
                     [](const Shot& a, const Shot& b) { return a.from_m < b.from_m; });
    std::vector<Run> out;
    double end_m = 0;
    for (Shot& shot : shots) {
        if (out.empty() || shot.from_m - end_m > within_m + k_touch_m) out.emplace_back();
        end_m = out.back().empty() ? shot.to_m : std::max(end_m, shot.to_m);
        out.back().push_back(std::move(shot));
    }
    return out;
}

std::optional<Finding> make_finding(const Rule& rule, const Run& run, const Setting& setting,
                                    std::int64_t today_s) {
    const double length_m = length_of(run);
    if (length_m < rule.at_least_m) return std::nullopt;
    Finding out;
    out.rule = rule.id;
    out.title = rule.title;
    out.about = rule.about;
    out.level = level_of(rule, run, length_m, setting);
    out.from_m = run.front().from_m;
    out.position = run.front().position;
    for (const Shot& shot : run) {
        out.to_m = std::max({out.to_m, shot.to_m, out.from_m});
        out.cannot_tell = out.cannot_tell || !shot.doubt.empty();
        for (const survey::Evidence* evidence : shot.evidence)
            add_evidence(out.evidence, *evidence);
    }
    out.message = message_of(rule, run, length_m);
    out.advice = rule.advice;
    out.ask = question_of(rule, run, length_m);
    out.grounds = rule.grounds;
    out.grade = grade_of(run, today_s);
    out.blocks_vouching = !rule.vouch;
    return out;
}

std::vector<Finding> gathered(const Rule& rule, std::vector<Finding> findings) {
    if (rule.gather == Gather::none) return findings;
    std::vector<Finding> out;
    for (const Level level : {Level::note, Level::warning}) {
        std::vector<Finding> same;
        for (const Finding& one : findings)
            if (may_gather(one, level)) same.push_back(one);
        if (same.empty() || (rule.gather == Gather::dense && level != Level::note)) continue;
        std::erase_if(findings, [&](const Finding& one) { return may_gather(one, level); });
        std::vector<Finding> fewer;
        if (rule.gather == Gather::dense)
            fewer = gather_dense(rule, same);
        else
            fewer.push_back(same.size() > 1 ? merged(same, rule.title) : same.front());
        out.insert(out.end(), fewer.begin(), fewer.end());
    }
    out.insert(out.end(), findings.begin(), findings.end());
    return out;
}

} // namespace waywarden::rules
