#include "rules/rule.hpp"

#include "error.hpp"

#include <algorithm>

namespace waywarden::rules {

std::optional<Firing> fires(const Rule& rule, const Case& at) {
    switch (evaluate(rule.when, at)) {
    case Truth::yes:
        return Firing{rule.level, false};
    case Truth::no:
        return std::nullopt;
    case Truth::unknown:
        break;
    }
    if (rule.if_unknown.report) return Firing{rule.level, true};
    if (rule.if_unknown.level) return Firing{*rule.if_unknown.level, true};
    return std::nullopt;
}

Level graded(const Rule& rule, Level level, const Case& at) {
    std::optional<Level> worst_possible;
    for (const GradeRow& row : rule.grade) {
        const Truth truth = evaluate(row.when, at);
        if (truth == Truth::no) continue;
        if (truth == Truth::yes) return std::max(row.level, worst_possible.value_or(row.level));
        worst_possible = std::max(row.level, worst_possible.value_or(row.level));
    }
    return std::max(level, worst_possible.value_or(level));
}

std::optional<Level> outcome(const Rule& rule, const Example& example) {
    const Case at{example.facts, example.setting};
    const auto firing = fires(rule, at);
    if (!firing) return std::nullopt;
    if (const auto length_m = example.facts.number("length_m"); length_m && *length_m < rule.at_least_m)
        return std::nullopt;
    return graded(rule, firing->level, at);
}

} // namespace waywarden::rules
