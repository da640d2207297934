#pragma once

#include "rules/setting.hpp"

#include <set>
#include <string>
#include <vector>

/// Conditions of rules: small trees with three truth values (Kleene 1938, strong logic of indeterminacy).
namespace waywarden::rules {

enum class Truth { no, unknown, yes };

Truth both(Truth a, Truth b);
Truth either(Truth a, Truth b);
Truth negated(Truth a);

/// What a leaf looks at, or compares with.
struct Operand {
    Source source = Source::fact;
    std::string name;
    survey::FactType type = survey::FactType::flag;
};

struct Condition {
    enum class Kind { all, any, negation, is, in, at_least, above, at_most, below, known };
    Kind kind = Kind::all;
    std::vector<Condition> parts;          ///< of all, any, negation
    Operand subject;                       ///< of leaves
    std::vector<survey::FactValue> values; ///< one, or several for `in`; empty where `other` counts
    std::optional<Operand> other;
};

bool is_of(const survey::FactSpec& fact, survey::SubjectKind about);
std::vector<std::string_view> facts_of(survey::SubjectKind about);

/// Reads and checks a condition on facts of this kind of subject. Throws DataError for unknown facts,
/// misspelt choices, comparisons that the type does not have, and for an `all` that nothing can fulfil.
Condition read_condition(const Value& value, survey::SubjectKind about);

/// What a condition is judged on.
struct Case {
    const survey::Facts& facts;
    const Setting& setting;
};

Truth evaluate(const Condition& condition, const Case& at);

/// The facts that made the condition come out as it did: of an `any` that is true only the parts that are.
void deciding_facts(const Condition& condition, const Case& at, std::set<std::string>& out);

/// Every fact the condition names.
void named_facts(const Condition& condition, std::set<std::string>& out);

} // namespace waywarden::rules
