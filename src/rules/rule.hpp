#pragma once

#include "rules/condition.hpp"
#include "rules/finding.hpp"

#include <optional>
#include <string>
#include <vector>

/// One rule as its file says it. Format: docs/writing-rules.md.
namespace waywarden::rules {

/// What a rule does where its condition comes out unknown. No level: nothing.
struct IfUnknown {
    bool report = true;         ///< fire with the rule's own level
    std::optional<Level> level; ///< where report is false: fire with this level
};

/// A level that counts where a condition on the joined finding is fulfilled.
struct GradeRow {
    Condition when;
    Level level = Level::note;
};

/// How findings of one rule become fewer. Errors and findings that block vouching always stand alone.
enum class Gather {
    dense, ///< three or more notes within 1 km become one
    route, ///< all notes of the route become one, all warnings another
    none,
};

struct Example {
    survey::Facts facts;
    bool has_unknown = false; ///< gives a fact as null
    Setting setting;
    std::optional<Level> gives;
};

struct Rule {
    std::string id, title;
    Level level = Level::note;
    survey::SubjectKind about = survey::SubjectKind::stretch;
    Condition when;
    IfUnknown if_unknown;
    std::optional<double> join_within_m; ///< absent: stretches join where they touch, spots not at all
    double at_least_m = 0;
    std::vector<GradeRow> grade;
    Gather gather = Gather::dense;
    double doubt_from = 0.05; ///< another reading of the line counts from this probability
    bool vouch = true;        ///< false: where it fires the route cannot be vouched for
    std::string message, message_unknown, advice;
    std::string ask; ///< a question to those who planned the walk, without the answer; "" where there is none
    std::vector<std::string> grounds;
    std::vector<Example> examples;
};

/// A rule out of a set. Throws DataError (file, line, JSON pointer, the nearest right name).
Rule read_rule(const Value& value);

/// Applies the keys of a `change` entry: level, if_unknown, join_within_m, at_least_m, grade, gather,
/// doubt_from, advice, ask, message (which then stands for message_unknown too).
void change_rule(Rule& rule, const Value& change);

std::optional<Level> read_level(const Value& value); ///< null is none; refuses other words
const std::vector<std::string_view>& rule_keys();
const std::vector<std::string_view>& change_keys();

/// The level at which a rule fires on one subject, if it does, before joining and grading.
struct Firing {
    Level level;
    bool unknown; ///< fired because a fact is not known
};
std::optional<Firing> fires(const Rule& rule, const Case& at);

/// The level of a joined finding. A grade that cannot be told counts only where it is the worse.
Level graded(const Rule& rule, Level level, const Case& at);

/// What the rule gives for an example, taken as one finding with the length it names.
std::optional<Level> outcome(const Rule& rule, const Example& example);

} // namespace waywarden::rules
