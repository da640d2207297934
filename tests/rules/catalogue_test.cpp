#include "rules/library.hpp"
#include "survey/facts.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <fstream>
#include <set>
#include <sstream>
#include <string>
#include <vector>

/// docs/catalogue.md says which rules and facts do which check: it may not name what does not exist, nor
/// leave out a rule that comes with the program.
using namespace waywarden;

namespace {

struct Row {
    std::string check, rules, facts, not_seen;
    int line = 0;
};

std::vector<Row> rows_of(const std::string& path) {
    std::ifstream file(path);
    REQUIRE(file);
    std::vector<Row> out;
    std::string line;
    for (int number = 1; std::getline(file, line); ++number) {
        if (!line.starts_with("| ") || line.find("| rules |") != std::string::npos) continue;
        std::stringstream cells(line.substr(1));
        Row row;
        row.line = number;
        for (std::string* cell : {&row.check, &row.rules, &row.facts, &row.not_seen})
            std::getline(cells, *cell, '|');
        out.push_back(row);
    }
    return out;
}

/// The words between backquotes.
std::vector<std::string> quoted(const std::string& cell) {
    std::vector<std::string> out;
    for (auto at = cell.find('`'); at != std::string::npos; at = cell.find('`', at + 1)) {
        const auto end = cell.find('`', at + 1);
        REQUIRE(end != std::string::npos);
        out.push_back(cell.substr(at + 1, end - at - 1));
        at = end;
    }
    return out;
}

std::set<std::string> rules_of(const std::string& set) {
    std::set<std::string> out;
    const std::vector<std::string> one{set};
    for (const rules::Rule& rule : rules::load_sets(one).rules)
        out.insert(rule.id);
    return out;
}

/// A set changes and leaves out rules of others, so each is read alone.
std::set<std::string> all_rules() {
    std::set<std::string> out;
    for (const std::string& name : rules::set_names())
        out.merge(rules_of(name));
    return out;
}

/// The rules that a set adds itself, where this is the name of one: on the page it stands for them all.
std::set<std::string> own_rules(const std::string& name) {
    const auto shipped = rules::set_names();
    if (std::find(shipped.begin(), shipped.end(), name) == shipped.end()) return {};
    const std::vector<std::string> one{name};
    std::set<std::string> out = rules_of(name);
    for (const rules::SetName& base : rules::load_sets(one).sets)
        if (base.name != name)
            for (const std::string& rule : rules_of(base.name))
                out.erase(rule);
    return out;
}

} // namespace

TEST_CASE("the catalogue of checks names every rule, and nothing that is not there") {
    const auto rows = rows_of(std::string(WAYWARDEN_SOURCE_DATA) + "/../docs/catalogue.md");
    CHECK(rows.size() > 30);
    std::set<std::string> named;
    const auto known = all_rules();
    for (const Row& row : rows) {
        const auto rules = quoted(row.rules), facts = quoted(row.facts);
        for (const std::string& rule : rules) {
            if (auto own = own_rules(rule); !own.empty()) {
                named.merge(own);
                continue;
            }
            CHECK_MESSAGE(known.count(rule) == 1, "line " << row.line << ": no rule " << rule);
            named.insert(rule);
        }
        for (const std::string& fact : facts)
            CHECK_MESSAGE(survey::find_fact(fact) != nullptr, "line " << row.line << ": no fact " << fact);
        const bool says_why = row.not_seen.find_first_not_of(' ') != std::string::npos;
        CHECK_MESSAGE((!rules.empty() || !facts.empty() || says_why),
                      "line " << row.line << ": nothing does it, and nothing says why not");
    }
    for (const std::string& rule : known)
        CHECK_MESSAGE(named.count(rule) == 1, "no row names the rule " << rule);
}
