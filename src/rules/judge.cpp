#include "rules/evidence_grade.hpp"
#include "rules/gather.hpp"
#include "rules/library.hpp"
#include "rules/message.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace waywarden::rules {

namespace {

using survey::Crossing;
using survey::Spot;
using survey::StretchReading;
using survey::StretchSurvey;
using survey::SubjectKind;
using survey::Survey;

std::optional<Shot> shot_at(const Rule& rule, const survey::Facts& facts, const Setting& setting) {
    const Case at{facts, setting};
    const auto firing = fires(rule, at);
    if (!firing) return std::nullopt;
    Shot shot;
    shot.facts = &facts;
    shot.level = firing->level;
    shot.unknown = firing->unknown;
    deciding_facts(rule.when, at, shot.deciding);
    return shot;
}

/// A rule's worst possible word on one subject alone, to compare readings by.
Level level_alone(const Rule& rule, const Shot& shot, const Setting& setting) {
    return graded(rule, shot.level, {*shot.facts, setting});
}

std::string reading_words(const StretchReading& reading) {
    const std::string name = name_words(reading.facts);
    return reading.osm ? fmt::format("{} ({})", name, map::to_string(*reading.osm)) : name;
}

std::optional<Shot> shot_at(const Rule& rule, const StretchReading& reading, const Setting& setting) {
    auto shot = shot_at(rule, reading.facts, setting);
    if (shot && reading.osm) shot->evidence.push_back(&reading.evidence);
    return shot;
}

/// The worst of the readings of a stretch; a reading that is not the likeliest counts only where it is worse.
std::optional<Shot> worst_reading(const Rule& rule, const StretchSurvey& stretch, const Setting& setting) {
    auto worst = shot_at(rule, stretch.reading, setting);
    for (const StretchReading& other : stretch.others) {
        if (other.probability < rule.doubt_from) continue;
        auto shot = shot_at(rule, other, setting);
        if (!shot) continue;
        if (worst && level_alone(rule, *shot, setting) <= level_alone(rule, *worst, setting)) continue;
        shot->doubt = fmt::format("whether the line means {} or {}", reading_words(stretch.reading),
                                  reading_words(other));
        worst = std::move(shot);
    }
    return worst;
}

std::vector<Run> stretch_runs(const Rule& rule, const Survey& survey, const Setting& setting) {
    std::vector<Shot> shots;
    for (const StretchSurvey& stretch : survey.stretches) {
        auto shot = worst_reading(rule, stretch, setting);
        if (!shot) continue;
        shot->from_m = stretch.from_m;
        shot->to_m = stretch.to_m;
        shot->length_m = stretch.to_m - stretch.from_m;
        if (!stretch.line.empty()) shot->position = stretch.line.front().position;
        shots.push_back(std::move(*shot));
    }
    return joined(std::move(shots), rule.join_within_m.value_or(0));
}

/// One run a place: the worst entry first, the evidence of all that fire.
std::vector<Run> crossing_runs(const Rule& rule, const Survey& survey, const Setting& setting) {
    std::map<int, Shot> places;
    for (const Crossing& crossing : survey.crossings) {
        auto shot = shot_at(rule, crossing.facts, setting);
        if (!shot) continue;
        shot->from_m = shot->to_m = crossing.at_m;
        shot->position = crossing.position;
        for (const survey::Evidence& evidence : crossing.evidence)
            shot->evidence.push_back(&evidence);
        const auto [at, is_new] = places.try_emplace(crossing.place, *shot);
        if (is_new) continue;
        auto evidence = at->second.evidence;
        evidence.insert(evidence.end(), shot->evidence.begin(), shot->evidence.end());
        if (level_alone(rule, *shot, setting) > level_alone(rule, at->second, setting)) at->second = *shot;
        at->second.evidence = std::move(evidence);
    }
    std::vector<Run> out;
    for (auto& [place, shot] : places)
        out.push_back({std::move(shot)});
    return out;
}

std::vector<Run> spot_runs(const Rule& rule, const Survey& survey, const Setting& setting) {
    std::vector<Shot> shots;
    for (const Spot& spot : survey.spots) {
        auto shot = shot_at(rule, spot.facts, setting);
        if (!shot) continue;
        shot->from_m = spot.from_m;
        shot->to_m = spot.to_m;
        shot->length_m = spot.facts.number("length_m").value_or(spot.to_m - spot.from_m);
        shot->position = spot.position;
        for (const survey::Evidence& evidence : spot.evidence)
            shot->evidence.push_back(&evidence);
        shots.push_back(std::move(*shot));
    }
    if (rule.join_within_m) return joined(std::move(shots), *rule.join_within_m);
    std::vector<Run> out;
    for (Shot& shot : shots)
        out.push_back({std::move(shot)});
    return out;
}

std::vector<Run> route_runs(const Rule& rule, const Survey& survey, const Setting& setting) {
    auto shot = shot_at(rule, survey.route_facts, setting);
    if (!shot) return {};
    shot->to_m = survey.length_m;
    if (!survey.stretches.empty() && !survey.stretches.front().line.empty())
        shot->position = survey.stretches.front().line.front().position;
    return {{std::move(*shot)}};
}

/// One run a leg: legs are told apart even where they follow each other.
std::vector<Run> leg_runs(const Rule& rule, const Survey& survey, const Setting& setting) {
    std::vector<Run> out;
    for (const survey::Leg& leg : survey.legs.legs) {
        auto shot = shot_at(rule, leg.facts, setting);
        if (!shot) continue;
        shot->from_m = leg.from.at_m;
        shot->to_m = leg.to.at_m;
        shot->length_m = leg.length_m;
        shot->position = leg.from.position;
        out.push_back({std::move(*shot)});
    }
    return out;
}

std::vector<Run> runs_of(const Rule& rule, const Survey& survey, const Setting& setting) {
    switch (rule.about) {
    case SubjectKind::stretch:
        return stretch_runs(rule, survey, setting);
    case SubjectKind::crossing:
        return crossing_runs(rule, survey, setting);
    case SubjectKind::spot:
        return spot_runs(rule, survey, setting);
    case SubjectKind::route:
        return route_runs(rule, survey, setting);
    case SubjectKind::leg:
        return leg_runs(rule, survey, setting);
    }
    return {};
}

std::vector<Finding> findings_of(const Rule& rule, const Survey& survey, const Setting& setting,
                                 std::int64_t today_s) {
    std::vector<Finding> out;
    for (const Run& run : runs_of(rule, survey, setting))
        if (auto finding = make_finding(rule, run, setting, today_s)) out.push_back(std::move(*finding));
    return gathered(rule, std::move(out));
}

} // namespace

struct Judge::Inside {
    Party party;
    std::shared_ptr<const Library> library;
    Setting setting;
};

Judge::Judge(std::unique_ptr<Inside> inside) : m_inside(std::move(inside)) {}

Judge::Judge(const std::string& party, std::span<const std::string> sets, const region::Region& region)
    : m_inside(std::make_unique<Inside>()) {
    m_inside->party = load_party(party);
    std::vector<std::string> all{"walking-core"};
    all.insert(all.end(), m_inside->party.rule_sets.begin(), m_inside->party.rule_sets.end());
    all.insert(all.end(), sets.begin(), sets.end());
    m_inside->library = std::make_shared<const Library>(load_sets(all));
    m_inside->setting = {m_inside->party.values, region_values(region)};
}

Judge::~Judge() = default;
Judge::Judge(Judge&&) noexcept = default;
Judge& Judge::operator=(Judge&&) noexcept = default;

Judge Judge::in(const region::Region& region) const {
    auto inside = std::make_unique<Inside>(*m_inside);
    inside->setting = {inside->party.values, region_values(region)};
    return Judge(std::move(inside));
}

std::vector<Finding> Judge::judge(const Survey& survey) const {
    const std::int64_t today_s = day_of_check_s(survey);
    std::vector<Finding> out;
    for (const Rule& rule : m_inside->library->rules)
        for (Finding& finding : findings_of(rule, survey, m_inside->setting, today_s))
            out.push_back(std::move(finding));
    std::stable_sort(out.begin(), out.end(), [](const Finding& a, const Finding& b) {
        return a.from_m != b.from_m ? a.from_m < b.from_m : a.level > b.level;
    });
    return out;
}

std::vector<SetName> Judge::sets() const {
    return m_inside->library->sets;
}

std::string Judge::party() const {
    return m_inside->party.name;
}

} // namespace waywarden::rules
