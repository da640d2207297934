#include "rules/fact_page.hpp"
#include "rules/rule.hpp"

#include <doctest/doctest.h>

#include <cstdlib>
#include <fstream>
#include <iterator>

using namespace waywarden;
using namespace waywarden::rules;

namespace {

Json schema(const std::string& name) {
    return Json::parse(read_text(std::string(WAYWARDEN_SOURCE_DATA) + "/" + name));
}

std::vector<std::string> names_of(std::span<const SettingSpec> table) {
    std::vector<std::string> out;
    for (const SettingSpec& spec : table)
        out.emplace_back(spec.name);
    return out;
}

std::vector<std::string> keys_of(const Json& object) {
    std::vector<std::string> out;
    for (const auto& [key, value] : object.items())
        out.push_back(key);
    return out;
}

using Ordered = nlohmann::ordered_json;

/// What a leaf on this fact may say: the values of its type, and bounds for numbers only.
Ordered leaf_on(const survey::FactSpec& spec) {
    const std::string name(spec.name);
    Ordered value = spec.type == survey::FactType::choice   ? Ordered{{"$ref", "#/$defs/choice_" + name}}
                    : spec.type == survey::FactType::flag   ? Ordered{{"type", "boolean"}}
                    : spec.type == survey::FactType::number ? Ordered{{"type", "number"}}
                                                            : Ordered{{"type", "string"}};
    Ordered may{{"is", {{"anyOf", Ordered::array({value, {{"$ref", "#/$defs/other"}}})}}},
                {"in", {{"items", value}}}};
    if (spec.type != survey::FactType::number)
        for (const char* bound : {"at_least", "above", "at_most", "below"})
            may[bound] = false;
    return {{"if", {{"properties", {{"fact", {{"const", name}}}}}, {"required", {"fact"}}}},
            {"then", {{"properties", may}}}};
}

/// The part of the schema of rule sets that follows from the table of facts.
void put_facts(Ordered& defs) {
    Ordered names = Ordered::array(), leaves = Ordered::array(), facts = Ordered::object();
    for (const auto kind : {survey::SubjectKind::stretch, survey::SubjectKind::crossing,
                            survey::SubjectKind::spot, survey::SubjectKind::leg, survey::SubjectKind::route})
        defs[std::string("fact_of_") + to_string(kind)] = {{"enum", Ordered::array()}};
    for (const survey::FactSpec& spec : survey::fact_table()) {
        const std::string name(spec.name);
        names.push_back(name);
        leaves.push_back(leaf_on(spec));
        for (const auto kind : spec.kinds)
            if (const auto list = defs.find(std::string("fact_of_") + to_string(kind)); list != defs.end())
                (*list)["enum"].push_back(name);
        const char* type = spec.type == survey::FactType::flag     ? "boolean"
                           : spec.type == survey::FactType::number ? "number"
                                                                   : "string";
        if (spec.choices.empty()) {
            facts[name] = {{"type", {type, "null"}}};
        } else {
            defs["choice_" + name] = {
                {"enum", std::vector<std::string>(spec.choices.begin(), spec.choices.end())}};
            facts[name] = {
                {"anyOf", Ordered::array({{{"type", "null"}}, {{"$ref", "#/$defs/choice_" + name}}})}};
        }
    }
    defs["fact_name"] = {{"enum", names}};
    defs["leaf"]["allOf"] = leaves;
    defs["example"]["properties"]["facts"]["properties"] = facts;
}

} // namespace

TEST_CASE("the schema of rule sets is what the table of facts says") {
    const std::string path = std::string(WAYWARDEN_SOURCE_DATA) + "/sets/rule-set.schema.json";
    const Ordered before = Ordered::parse(read_text(path));
    Ordered now = before;
    put_facts(now["$defs"]);
    if (std::getenv("WAYWARDEN_WRITE_DOCS")) std::ofstream(path) << now.dump(2) << '\n';
    const bool follows = now == Ordered::parse(read_text(path)); // the whole schema would fill the screen
    CHECK_MESSAGE(follows, "run this test with WAYWARDEN_WRITE_DOCS=1 and commit the schema");
}

/// WAYWARDEN_WRITE_DOCS=1 build-…/tests/test_rules writes the page anew.
TEST_CASE("docs/facts.md is what the table of facts says") {
    const std::string path = std::string(WAYWARDEN_SOURCE_DATA) + "/../docs/facts.md";
    if (std::getenv("WAYWARDEN_WRITE_DOCS")) std::ofstream(path) << fact_page();
    const bool follows = read_text(path) == fact_page();
    CHECK_MESSAGE(follows, "run this test with WAYWARDEN_WRITE_DOCS=1 and commit the page");
}

TEST_CASE("the schema of rule sets knows the same facts, choices and keys as the code") {
    const Json defs = schema("sets/rule-set.schema.json").at("$defs");
    std::vector<std::string> names;
    for (const survey::FactSpec& spec : survey::fact_table()) {
        names.emplace_back(spec.name);
        if (spec.choices.empty()) continue;
        const std::vector<std::string> choices(spec.choices.begin(), spec.choices.end());
        CHECK_MESSAGE(defs.at("choice_" + names.back()).at("enum").get<std::vector<std::string>>() == choices,
                      names.back());
    }
    CHECK(defs.at("fact_name").at("enum").get<std::vector<std::string>>() == names);
    CHECK(keys_of(defs.at("example").at("properties").at("facts").at("properties")) == names);
    for (const auto kind :
         {survey::SubjectKind::stretch, survey::SubjectKind::crossing, survey::SubjectKind::spot,
          survey::SubjectKind::leg, survey::SubjectKind::route}) {
        std::vector<std::string> of_kind;
        for (const survey::FactSpec& spec : survey::fact_table())
            if (std::find(spec.kinds.begin(), spec.kinds.end(), kind) != spec.kinds.end())
                of_kind.emplace_back(spec.name);
        CHECK(defs.at(std::string("fact_of_") + to_string(kind)).at("enum").get<std::vector<std::string>>() ==
              of_kind);
    }
    CHECK(defs.at("party_name").at("enum").get<std::vector<std::string>>() == names_of(party_table()));
    CHECK(defs.at("region_name").at("enum").get<std::vector<std::string>>() == names_of(region_table()));
    std::vector<std::string> keys(rule_keys().begin(), rule_keys().end()),
        changes(change_keys().begin(), change_keys().end());
    std::sort(keys.begin(), keys.end());
    std::sort(changes.begin(), changes.end());
    CHECK(keys_of(defs.at("rule").at("properties")) == keys);
    CHECK(keys_of(defs.at("change").at("properties")) == changes);
}

TEST_CASE("the schema of parties knows the same values as the code") {
    CHECK(keys_of(schema("parties/party.schema.json").at("properties").at("who").at("properties")) ==
          names_of(party_table()));
}

TEST_CASE("the table of facts is sorted, and choices have words") {
    const auto table = survey::fact_table();
    for (std::size_t i = 0; i < table.size(); ++i) {
        if (i > 0) CHECK(table[i - 1].name < table[i].name);
        CHECK((table[i].type == survey::FactType::choice) == !table[i].choices.empty());
        CHECK(!table[i].kinds.empty());
        CHECK(survey::find_fact(table[i].name) == &table[i]);
    }
    CHECK(survey::find_fact("nothing") == nullptr);
}
