#include "rules/evidence_grade.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>

namespace waywarden::rules {

namespace {

constexpr std::int64_t k_day_s = 86400;
constexpr std::int64_t k_recent_s = 2 * 365 * k_day_s; ///< common practice, no source

/// What a single known fact is worth.
EvidenceGrade grade_of_fact(const std::string& name, const survey::Facts& facts) {
    if (!facts.get(name)) return EvidenceGrade::inferred;
    const std::string word = facts.text(name);
    if (name == "speed_limit_kmh" || name == "speed_limit" || name == "speed_limit_source") {
        const std::string source = facts.text("speed_limit_source");
        if (source == "presumed") return EvidenceGrade::presumed;
        if (source == "zone") return EvidenceGrade::inferred;
        if (source == "unknown") return EvidenceGrade::unknown;
    }
    if (name == "right" && word == "presumed") return EvidenceGrade::presumed;
    if (name == "right" && word == "unknown") return EvidenceGrade::unknown;
    if (name == "means" && facts.text("means_evidence", "tag") != "tag") return EvidenceGrade::inferred;
    if (word == "none_recorded") return EvidenceGrade::inferred;
    return EvidenceGrade::explicit_recent;
}

bool checked_since(const survey::Evidence& evidence, std::int64_t since_s) {
    for (const auto& [key, value] : evidence.tags) {
        if (!key.starts_with("check_date") && !key.starts_with("survey:date")) continue;
        if (const auto day = date_s(value); day && *day >= since_s) return true;
    }
    return false;
}

} // namespace

std::optional<std::int64_t> date_s(const std::string& text) {
    int y = 0, m = 1, d = 1;
    const bool only_digits =
        text.size() >= 4 && text.find_first_not_of("0123456789-T:Z.+ ") == std::string::npos;
    if (!only_digits || std::sscanf(text.c_str(), "%4d-%2d-%2d", &y, &m, &d) < 1) return std::nullopt;
    const std::chrono::year_month_day day{std::chrono::year(y), std::chrono::month(static_cast<unsigned>(m)),
                                          std::chrono::day(static_cast<unsigned>(d))};
    if (!day.ok()) return std::nullopt;
    return std::chrono::sys_days(day).time_since_epoch().count() * k_day_s;
}

std::int64_t day_of_check_s(const survey::Survey& survey) {
    const auto day_of = [](const survey::Facts& facts) -> std::int64_t {
        const auto age_days = facts.number("map_age_days");
        const auto data_s = date_s(facts.text("map_date"));
        return age_days && data_s ? *data_s + std::llround(*age_days) * k_day_s : 0;
    };
    if (const std::int64_t day = day_of(survey.route_facts)) return day;
    for (const survey::Spot& spot : survey.spots)
        if (const std::int64_t day = day_of(spot.facts)) return day;
    return 0;
}

EvidenceGrade grade_of(const Run& run, std::int64_t today_s) {
    EvidenceGrade worst = EvidenceGrade::explicit_recent;
    for (const Shot& shot : run) {
        if (shot.unknown) worst = EvidenceGrade::unknown;
        for (const std::string& name : shot.deciding)
            worst = std::max(worst, grade_of_fact(name, *shot.facts));
        const bool recent =
            today_s > 0 && !shot.evidence.empty() &&
            std::all_of(shot.evidence.begin(), shot.evidence.end(),
                        [&](const auto* evidence) { return checked_since(*evidence, today_s - k_recent_s); });
        if (!recent) worst = std::max(worst, EvidenceGrade::explicit_tag);
    }
    return worst;
}

} // namespace waywarden::rules
