#include "rules/message.hpp"
#include "rules/rule.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace waywarden::rules {

namespace {

using survey::FactSpec;
using survey::SubjectKind;
using Words = std::vector<std::string_view>;

const Words k_levels{"note", "warning", "error"};
const Words k_kinds{"stretch", "crossing", "spot", "leg", "route"};
const Words k_gathers{"dense", "route", "none"};

std::string read_id(const Value& value) {
    const std::string id = value.text();
    const bool kebab = !id.empty() && id.front() != '-' && id.back() != '-' &&
                       id.find("--") == std::string::npos && std::all_of(id.begin(), id.end(), [](char c) {
                           return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
                       });
    if (!kebab) value.refuse("must be small letters, digits and single hyphens: long-road-walk");
    return id;
}

Level level_of(const Value& value) {
    return static_cast<Level>(value.one_of(k_levels));
}

IfUnknown read_if_unknown(const Value& value) {
    const std::size_t index = value.one_of({"note", "warning", "error", "report", "ignore"});
    if (index == 3) return {true, std::nullopt};
    if (index == 4) return {false, std::nullopt};
    return {false, static_cast<Level>(index)};
}

double read_metres(const Value& value) {
    const double metres = value.number();
    if (metres < 0 || metres > 1e6) value.refuse("must be metres from 0 to 1000000");
    return metres;
}

double read_probability(const Value& value) {
    const double p = value.number();
    if (p < 0.05 || p > 1)
        value.refuse("must be a probability from 0.05 to 1; readings below 0.05 are not kept");
    return p;
}

std::vector<GradeRow> read_grade(const Value& value, SubjectKind about) {
    std::vector<GradeRow> out;
    for (const Value& row : value.items()) {
        row.allow_only({"when", "level"});
        out.push_back({read_condition(row["when"], about), level_of(row["level"])});
    }
    return out;
}

std::string read_sentence(const Value& value) {
    const std::string text = value.text();
    if (text.find_first_not_of(" \t\n") == std::string::npos)
        value.refuse("is empty; a leader reads this, say it in words");
    return text;
}

std::string read_grounds(const Value& value) {
    value.allow_only({"title", "publisher", "url", "common_practice", "text"});
    if (value.has("common_practice")) {
        if (!value["common_practice"].truth())
            value["common_practice"].refuse("must be true, or leave it out");
        return fmt::format("common practice, no source: {}", read_sentence(value["text"]));
    }
    std::string out =
        fmt::format("{} ({})", read_sentence(value["title"]), read_sentence(value["publisher"]));
    if (value.has("text")) out += ": " + value["text"].text();
    return out;
}

void read_example_facts(Example& example, const Value& facts, SubjectKind about) {
    for (const auto& [name, value] : facts.members()) {
        const FactSpec* found = survey::find_fact(name);
        if (!found || !is_of(*found, about)) facts.allow_only(facts_of(about));
        const FactSpec& spec = *found;
        if (value.at->is_null()) {
            example.facts.set_unknown(name);
            example.has_unknown = true;
        } else {
            example.facts.set(name, read_fact_value(value, spec.type, spec.choices));
        }
    }
}

Example read_example(const Value& value, SubjectKind about) {
    value.allow_only({"facts", "party", "region", "gives", "why"});
    Example out;
    read_example_facts(out, value["facts"], about);
    if (value.has("party")) out.setting.party = read_settings(value["party"], party_table());
    if (value.has("region")) out.setting.region = read_settings(value["region"], region_table());
    out.gives = read_level(value["gives"]);
    return out;
}

void check_examples(const Rule& rule, const Value& examples) {
    const auto any = [&](auto test) { return std::any_of(rule.examples.begin(), rule.examples.end(), test); };
    if (!any([](const Example& e) { return e.gives.has_value(); }))
        examples.refuse("none of them fires; add one that does");
    if (!any([](const Example& e) { return !e.gives; }))
        examples.refuse("all of them fire; add one that does not");
    if (!any([](const Example& e) { return e.has_unknown; }))
        examples.refuse("none has an unknown fact; add one that gives a fact as null");
}

void read_options(Rule& rule, const Value& value) {
    if (value.has("if_unknown")) rule.if_unknown = read_if_unknown(value["if_unknown"]);
    if (value.has("join_within_m")) rule.join_within_m = read_metres(value["join_within_m"]);
    if (value.has("at_least_m")) rule.at_least_m = read_metres(value["at_least_m"]);
    if (value.has("grade")) rule.grade = read_grade(value["grade"], rule.about);
    if (value.has("gather")) rule.gather = static_cast<Gather>(value["gather"].one_of(k_gathers));
    if (value.has("doubt_from")) rule.doubt_from = read_probability(value["doubt_from"]);
    if (value.has("advice")) rule.advice = read_sentence(value["advice"]);
    if (value.has("ask")) rule.ask = read_message(value["ask"], rule.about);
}

} // namespace

const Words& rule_keys() {
    static const Words keys{"id",         "title",         "level",      "about",           "when",
                            "if_unknown", "join_within_m", "at_least_m", "grade",           "gather",
                            "doubt_from", "vouch",         "message",    "message_unknown", "advice",
                            "ask",        "grounds",       "examples"};
    return keys;
}

const Words& change_keys() {
    static const Words keys{"level",  "if_unknown", "join_within_m", "at_least_m", "grade",
                            "gather", "doubt_from", "advice",        "message",    "ask"};
    return keys;
}

std::optional<Level> read_level(const Value& value) {
    return value.at->is_null() ? std::nullopt : std::optional(level_of(value));
}

Rule read_rule(const Value& value) {
    value.allow_only(rule_keys());
    Rule rule;
    rule.id = read_id(value["id"]);
    rule.title = read_sentence(value["title"]);
    rule.level = level_of(value["level"]);
    rule.about = static_cast<SubjectKind>(value["about"].one_of(k_kinds));
    rule.when = read_condition(value["when"], rule.about);
    read_options(rule, value);
    if (value.has("vouch")) rule.vouch = value["vouch"].truth();
    rule.message = read_message(value["message"], rule.about);
    rule.message_unknown =
        value.has("message_unknown") ? read_message(value["message_unknown"], rule.about) : rule.message;
    rule.advice = read_sentence(value["advice"]);
    for (const Value& one : value["grounds"].items())
        rule.grounds.push_back(read_grounds(one));
    if (rule.grounds.empty())
        value["grounds"].refuse("is empty; name a published source, or common practice");
    for (const Value& one : value["examples"].items())
        rule.examples.push_back(read_example(one, rule.about));
    check_examples(rule, value["examples"]);
    return rule;
}

void change_rule(Rule& rule, const Value& change) {
    change.allow_only(change_keys());
    if (change.has("level")) rule.level = level_of(change["level"]);
    if (change.has("message"))
        rule.message = rule.message_unknown = read_message(change["message"], rule.about);
    read_options(rule, change);
}

} // namespace waywarden::rules
