#include "rules/condition.hpp"

#include "error.hpp"

#include <algorithm>

namespace waywarden::rules {

namespace {

using survey::FactValue;
using Kind = Condition::Kind;

std::optional<FactValue> value_of(const Operand& operand, const Case& at) {
    return operand.source == Source::fact ? at.facts.get(operand.name)
                                          : at.setting.get(operand.source, operand.name);
}

Truth truth(bool b) {
    return b ? Truth::yes : Truth::no;
}

bool compares(Kind kind, double a, double b) {
    switch (kind) {
    case Kind::at_least:
        return a >= b;
    case Kind::above:
        return a > b;
    case Kind::at_most:
        return a <= b;
    case Kind::below:
        return a < b;
    default:
        throw InternalError("a comparison that is none");
    }
}

Truth judged(Kind kind, const FactValue& value, const FactValue& wanted) {
    if (kind == Kind::is || kind == Kind::in) return truth(value == wanted);
    return truth(compares(kind, std::get<double>(value), std::get<double>(wanted)));
}

Truth evaluate_leaf(const Condition& leaf, const Case& at) {
    const auto value = value_of(leaf.subject, at);
    if (leaf.kind == Kind::known) return truth(value.has_value() == std::get<bool>(leaf.values.front()));
    if (!value) return Truth::unknown;
    if (leaf.other) {
        const auto wanted = value_of(*leaf.other, at);
        return wanted ? judged(leaf.kind, *value, *wanted) : Truth::unknown;
    }
    Truth out = Truth::no;
    for (const FactValue& wanted : leaf.values)
        out = either(out, judged(leaf.kind, *value, wanted));
    return out;
}

} // namespace

Truth both(Truth a, Truth b) {
    return std::min(a, b);
}
Truth either(Truth a, Truth b) {
    return std::max(a, b);
}
Truth negated(Truth a) {
    return a == Truth::yes ? Truth::no : a == Truth::no ? Truth::yes : Truth::unknown;
}

Truth evaluate(const Condition& condition, const Case& at) {
    switch (condition.kind) {
    case Kind::all: {
        Truth out = Truth::yes;
        for (const Condition& part : condition.parts)
            out = both(out, evaluate(part, at));
        return out;
    }
    case Kind::any: {
        Truth out = Truth::no;
        for (const Condition& part : condition.parts)
            out = either(out, evaluate(part, at));
        return out;
    }
    case Kind::negation:
        return negated(evaluate(condition.parts.front(), at));
    default:
        return evaluate_leaf(condition, at);
    }
}

void deciding_facts(const Condition& condition, const Case& at, std::set<std::string>& out) {
    if (condition.kind != Kind::all && condition.kind != Kind::any && condition.kind != Kind::negation) {
        if (condition.subject.source == Source::fact) out.insert(condition.subject.name);
        return;
    }
    const Truth whole = evaluate(condition, at);
    for (const Condition& part : condition.parts)
        if (condition.kind == Kind::negation || evaluate(part, at) == whole) deciding_facts(part, at, out);
}

void named_facts(const Condition& condition, std::set<std::string>& out) {
    if (condition.parts.empty() && condition.subject.source == Source::fact)
        out.insert(condition.subject.name);
    for (const Condition& part : condition.parts)
        named_facts(part, out);
}

} // namespace waywarden::rules
