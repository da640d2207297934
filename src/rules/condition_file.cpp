#include "rules/condition.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <map>

namespace waywarden::rules {

namespace {

using survey::FactSpec;
using survey::FactType;
using survey::FactValue;
using survey::SubjectKind;
using Kind = Condition::Kind;
using Words = std::vector<std::string_view>;

struct Operator {
    std::string_view word;
    Kind kind;
};
constexpr Operator k_operators[] = {
    {"is", Kind::is},           {"in", Kind::in},       {"at_least", Kind::at_least}, {"above", Kind::above},
    {"at_most", Kind::at_most}, {"below", Kind::below}, {"known", Kind::known}};

const FactSpec& fact_spec(const Value& value, SubjectKind about) {
    const std::string name = value.text();
    const FactSpec* spec = survey::find_fact(name);
    if (!spec) value.refuse(fmt::format("there is no fact \"{}\"{}", name, hint(name, facts_of(about))));
    if (!is_of(*spec, about)) {
        Words kinds;
        for (const SubjectKind kind : spec->kinds)
            kinds.push_back(to_string(kind));
        value.refuse(fmt::format("\"{}\" is no fact of a {}; it is one of a {}", name, to_string(about),
                                 fmt::join(kinds, ", a ")));
    }
    return *spec;
}

const SettingSpec& setting_spec(const Value& value, std::span<const SettingSpec> table) {
    Words names;
    for (const SettingSpec& spec : table)
        names.push_back(spec.name);
    return table[value.one_of(names)];
}

struct Subject {
    Operand operand;
    Words choices;
};

Subject read_subject(const Value& value, SubjectKind about) {
    if (value.has("fact")) {
        const FactSpec& spec = fact_spec(value["fact"], about);
        return {{Source::fact, std::string(spec.name), spec.type}, spec.choices};
    }
    const Source source = value.has("party") ? Source::party : Source::region;
    const SettingSpec& spec =
        setting_spec(value[to_string(source)], source == Source::party ? party_table() : region_table());
    return {{source, std::string(spec.name), spec.type}, {}};
}

/// A value written as {"party": …} or {"region": …}.
std::optional<Operand> read_other(const Value& value, FactType type) {
    if (!value.at->is_object()) return std::nullopt;
    value.allow_only({"party", "region"});
    if (value.at->size() != 1) value.refuse("must name one value: {\"party\": …} or {\"region\": …}");
    const Operand other = read_subject(value, SubjectKind::route).operand;
    const bool texts = type == FactType::choice && other.type == FactType::text;
    if (other.type != type && !texts)
        value.refuse(fmt::format("a {} cannot be compared with \"{}\", a {}", to_string(type), other.name,
                                 to_string(other.type)));
    return other;
}

void read_values(Condition& leaf, const Value& value, const Words& choices) {
    const FactType type = leaf.subject.type;
    const bool orders = leaf.kind != Kind::is && leaf.kind != Kind::in && leaf.kind != Kind::known;
    if (orders && type != FactType::number)
        value.refuse(fmt::format("\"{}\" is a {}, which has no order; use \"is\", \"in\" or \"known\"",
                                 leaf.subject.name, to_string(type)));
    if (leaf.kind == Kind::known) {
        leaf.values.emplace_back(value.truth());
    } else if (leaf.kind == Kind::in) {
        if (value.items().empty()) value.refuse("an empty list can never be true; name a value");
        for (const Value& one : value.items())
            leaf.values.push_back(read_fact_value(one, type, choices));
    } else if (!(leaf.other = read_other(value, type))) {
        leaf.values.push_back(read_fact_value(value, type, choices));
    }
}

Condition read_leaf(const Value& value, SubjectKind about) {
    Words keys{"fact", "party", "region"};
    const Operator* found = nullptr;
    for (const Operator& one : k_operators) {
        keys.push_back(one.word);
        if (!value.has(one.word)) continue;
        if (found) value.refuse("one comparison a leaf; put the second into an \"all\"");
        found = &one;
    }
    value.allow_only(keys);
    if (value.has("fact") + value.has("party") + value.has("region") != 1)
        value.refuse("must look at one thing: \"fact\", \"party\" or \"region\"");
    if (!found) value.refuse("no comparison; add is, in, at_least, above, at_most, below or known");
    Condition leaf;
    leaf.kind = found->kind;
    const Subject subject = read_subject(value, about);
    leaf.subject = subject.operand;
    read_values(leaf, value[found->word], subject.choices);
    return leaf;
}

/// What the leaves of an `all` leave possible for one fact.
struct Possible {
    double low = -std::numeric_limits<double>::infinity(), high = std::numeric_limits<double>::infinity();
    bool low_open = false, high_open = false;
    std::optional<std::vector<FactValue>> values;
    std::optional<bool> known;

    void narrow(const Condition& leaf) {
        if (leaf.other) return;
        if (leaf.kind == Kind::known) return narrow_known(std::get<bool>(leaf.values.front()));
        narrow_known(true);
        if (leaf.kind == Kind::is || leaf.kind == Kind::in) return narrow_values(leaf.values);
        const double bound = std::get<double>(leaf.values.front());
        const bool open = leaf.kind == Kind::above || leaf.kind == Kind::below;
        if (leaf.kind == Kind::at_least || leaf.kind == Kind::above) {
            if (bound > low || (bound == low && open)) low = bound, low_open = open;
        } else if (bound < high || (bound == high && open)) {
            high = bound, high_open = open;
        }
    }
    bool empty() const {
        if (m_contradiction || low > high || (low == high && (low_open || high_open))) return true;
        if (!values) return false;
        return std::none_of(values->begin(), values->end(), [&](const FactValue& v) {
            const double* n = std::get_if<double>(&v);
            return !n || ((low_open ? *n > low : *n >= low) && (high_open ? *n < high : *n <= high));
        });
    }

  private:
    void narrow_known(bool is_known) {
        if (known && *known != is_known) m_contradiction = true;
        known = is_known;
    }
    void narrow_values(const std::vector<FactValue>& wanted) {
        if (!values) {
            values = wanted;
            return;
        }
        std::erase_if(*values, [&](const FactValue& v) {
            return std::find(wanted.begin(), wanted.end(), v) == wanted.end();
        });
    }
    bool m_contradiction = false;
};

/// Ands within ands count as one.
void narrow_all(const Condition& all, std::map<std::string, Possible>& possible) {
    for (const Condition& part : all.parts) {
        if (part.kind == Kind::all) narrow_all(part, possible);
        if (!part.parts.empty()) continue;
        possible[fmt::format("{} {}", to_string(part.subject.source), part.subject.name)].narrow(part);
    }
}

void check_possible(const Value& value, const Condition& all) {
    std::map<std::string, Possible> possible;
    narrow_all(all, possible);
    for (const auto& [name, one] : possible)
        if (one.empty())
            value.refuse(fmt::format("can never be true: the demands on the {} contradict each other", name));
}

} // namespace

bool is_of(const FactSpec& fact, SubjectKind about) {
    return std::find(fact.kinds.begin(), fact.kinds.end(), about) != fact.kinds.end();
}

Words facts_of(SubjectKind about) {
    Words out;
    for (const FactSpec& spec : survey::fact_table())
        if (is_of(spec, about)) out.push_back(spec.name);
    return out;
}

Condition read_condition(const Value& value, SubjectKind about) {
    if (!value.at->is_object()) value.refuse("must be a condition {…}");
    for (const auto& [word, kind] :
         {std::pair{"all", Kind::all}, {"any", Kind::any}, {"not", Kind::negation}}) {
        if (!value.has(word)) continue;
        value.allow_only({word});
        Condition out;
        out.kind = kind;
        const Value inner = value[word];
        if (kind == Kind::negation) {
            out.parts.push_back(read_condition(inner, about));
            return out;
        }
        for (const Value& part : inner.items())
            out.parts.push_back(read_condition(part, about));
        if (out.parts.empty()) inner.refuse("is empty; put a condition in it");
        if (kind == Kind::all) check_possible(inner, out);
        return out;
    }
    return read_leaf(value, about);
}

} // namespace waywarden::rules
