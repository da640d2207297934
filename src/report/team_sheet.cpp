#include "report/team_sheet.hpp"

#include "geo/grid_reference.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace waywarden::report {

namespace {

constexpr double k_long_m = 150; ///< a shorter piece is shown by one reference
constexpr std::size_t k_whole_walk = static_cast<std::size_t>(-1);

/// For rules whose author gives no question.
std::string fallback(const rules::Finding& finding) {
    switch (finding.about) {
    case survey::SubjectKind::stretch:
        return "Look at your way here. What would you walk on, and what is next to it?";
    case survey::SubjectKind::crossing:
        return "What do you cross here, and how do you get over?";
    case survey::SubjectKind::spot:
        return "Look at this place on your map. What do you see there?";
    case survey::SubjectKind::leg:
        return "Look at this leg on your map and on your card. What do you see?";
    case survey::SubjectKind::route:
        return "";
    }
    return "";
}

std::string question_of(const rules::Finding& finding) {
    if (!finding.ask.empty()) return finding.ask;
    return finding.blocks_vouching ? "" : fallback(finding);
}

std::string where_of(const rules::Finding& finding, const Assessed& route) {
    if (finding.about == survey::SubjectKind::leg || finding.about == survey::SubjectKind::route) return "";
    const std::string from = geo::grid_reference(finding.position, route.grid);
    if (finding.to_m - finding.from_m < k_long_m) return "At " + from;
    const std::string to = geo::grid_reference(survey::position_at(route.route, finding.to_m), route.grid);
    return from == to ? "At " + from : fmt::format("From {} to {}", from, to);
}

std::size_t leg_of(const rules::Finding& finding, const Assessed& route) {
    if (finding.about == survey::SubjectKind::route) return k_whole_walk;
    const auto& legs = route.survey.legs.legs;
    for (std::size_t i = 0; i < legs.size(); ++i)
        if (finding.from_m < legs[i].to.at_m || i + 1 == legs.size()) return i;
    return k_whole_walk;
}

std::string heading_of(std::size_t leg, const Assessed& route) {
    if (leg == k_whole_walk) return "The whole walk";
    const survey::Leg& one = route.survey.legs.legs[leg];
    return fmt::format("Leg {}: {} to {}", one.number, one.from.name, one.to.name);
}

struct Candidate {
    const rules::Finding* finding;
    std::size_t leg;
    std::string text;
};

/// The heaviest first; a second question of one rule on a leg, or of the same words there, is none.
std::vector<Candidate> chosen(const Assessed& route) {
    std::vector<Candidate> all;
    for (const rules::Finding& finding : route.findings) {
        std::string text = finding.accepted ? "" : question_of(finding);
        if (!text.empty()) all.push_back({&finding, leg_of(finding, route), std::move(text)});
    }
    std::stable_sort(all.begin(), all.end(), [](const Candidate& a, const Candidate& b) {
        return a.finding->level > b.finding->level;
    });
    std::set<std::pair<std::size_t, std::string>> asked;
    std::vector<Candidate> out;
    for (Candidate& one : all) {
        const bool is_new =
            asked.emplace(one.leg, one.finding->rule).second && asked.emplace(one.leg, one.text).second;
        if (is_new && out.size() < k_most_questions) out.push_back(std::move(one));
    }
    std::stable_sort(out.begin(), out.end(), [](const Candidate& a, const Candidate& b) {
        return a.leg != b.leg ? a.leg < b.leg : a.finding->from_m < b.finding->from_m;
    });
    return out;
}

} // namespace

std::vector<TeamLeg> team_questions(const Assessed& route) {
    std::vector<TeamLeg> out;
    std::size_t last = 0;
    for (const Candidate& one : chosen(route)) {
        if (out.empty() || one.leg != last) out.push_back({heading_of(one.leg, route), {}});
        last = one.leg;
        out.back().questions.push_back({one.finding->from_m, where_of(*one.finding, route), one.text});
    }
    return out;
}

std::string team_name(const Assessed& route) {
    if (!route.card || route.card->card.team.empty()) return route.route.name;
    const route::Card& card = route.card->card;
    return card.day.empty() ? card.team : fmt::format("{}, day {}", card.team, card.day);
}

std::vector<std::string> team_opening() {
    return {
        "Your plan has been read with care. Here are places to look at once more. At some of them you may "
        "find "
        "that all is well.",
        "Take your map. Find each place. Talk about it, and write down what you see and what you will do."};
}

std::vector<std::string> team_closing() {
    return {
        "No list is whole. The weather, rivers, the tide, animals and traffic are on no map. Look at the "
        "rest of "
        "your way as closely as at these places.",
        "Your leader decides about this walk. Show them this sheet with your answers, and ask them when you "
        "are not sure."};
}

} // namespace waywarden::report
