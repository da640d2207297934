#include "cli/command.hpp"
#include "error.hpp"
#include "report/words.hpp"
#include "rules/library.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <iostream>
#include <memory>
#include <set>

namespace waywarden::cli {

namespace {

void say(std::string_view label, const std::string& text) {
    if (!text.empty()) std::cout << report::wrapped(label, report::plain(text), 78);
}

/// A shipped set with what it builds on, as it stands alone: sets change and leave out rules of others.
rules::Library set_alone(const std::string& name) {
    const std::vector<std::string> one{name};
    return rules::load_sets(one);
}

/// The shipped sets, what others build on first.
std::vector<std::string> sets_in_order() {
    std::vector<std::string> out;
    for (const std::string& name : rules::set_names())
        for (const rules::SetName& set : set_alone(name).sets)
            if (std::find(out.begin(), out.end(), set.name) == out.end()) out.push_back(set.name);
    return out;
}

int list() {
    std::set<std::string> listed; // each rule under the set that it comes from
    for (const std::string& name : sets_in_order()) {
        const rules::Library library = set_alone(name);
        std::cout << fmt::format("{}, version {}\n", name, library.sets.back().version);
        for (const rules::Rule& rule : library.rules) // one a line, to search through
            if (listed.insert(rule.id).second)
                std::cout << fmt::format("  {:<8} {} {}\n", rules::to_string(rule.level),
                                         report::padded(rule.id, 36), rule.title);
    }
    return k_assessed;
}

std::string what_unknown_does(const rules::IfUnknown& rule) {
    if (rule.report) return "reported all the same";
    return rule.level ? fmt::format("reported as a {}", rules::to_string(*rule.level)) : "not reported";
}

std::string words_of(const std::pair<std::string, std::optional<survey::FactValue>>& fact) {
    const auto& [name, value] = fact;
    if (!value) return name + " not recorded";
    if (const auto* flag = std::get_if<bool>(&*value))
        return fmt::format("{} {}", name, *flag ? "yes" : "no");
    if (const auto* number = std::get_if<double>(&*value)) return fmt::format("{} {:g}", name, *number);
    return fmt::format("{} {}", name, std::get<std::string>(*value));
}

std::string words_of(const rules::Example& example) {
    std::vector<std::string> parts;
    for (const auto& fact : example.facts.all())
        parts.push_back(words_of(fact));
    for (const auto& [name, value] : example.setting.party)
        parts.push_back("party: " + words_of({name, value}));
    for (const auto& [name, value] : example.setting.region)
        parts.push_back("region: " + words_of({name, value}));
    return fmt::format("{}: {}", example.gives ? rules::to_string(*example.gives) : "nothing",
                       fmt::join(parts, ", "));
}

std::string facts_of(const rules::Rule& rule) {
    std::set<std::string> names;
    rules::named_facts(rule.when, names);
    for (const rules::GradeRow& row : rule.grade)
        rules::named_facts(row.when, names);
    return fmt::format("{}", fmt::join(names, ", "));
}

void print(const rules::Rule& rule) {
    say("", fmt::format("{}: {}", rule.id, rule.title));
    say("  level       ",
        fmt::format("{}{}", rules::to_string(rule.level),
                    rule.grade.empty() ? "" : ", or another where a grade in its file says so"));
    say("  about       ", survey::to_string(rule.about));
    say("  facts       ", facts_of(rule));
    say("  not known   ", what_unknown_does(rule.if_unknown));
    say("  vouching    ", rule.vouch ? "" : "where it fires the route cannot be vouched for");
    say("  message     ", rule.message);
    say("  advice      ", rule.advice);
    for (const std::string& one : rule.grounds)
        say("  grounds     ", one);
    for (const rules::Example& one : rule.examples)
        say("  example     ", words_of(one));
}

const rules::Rule* find(const rules::Library& library, const std::string& id) {
    const auto at = std::find_if(library.rules.begin(), library.rules.end(),
                                 [&](const rules::Rule& rule) { return rule.id == id; });
    return at == library.rules.end() ? nullptr : &*at;
}

/// What a set that builds on the rule's own makes of it.
void print_change(const std::string& set, const rules::Rule& rule, const rules::Rule* there) {
    const std::string label = fmt::format("  in {}: ", set);
    if (!there) return say(label, "left out");
    if (there->level != rule.level) say(label, rules::to_string(there->level));
    if (there->message != rule.message) say(label, there->message);
    if (there->advice != rule.advice) say(label, there->advice);
}

int show(const std::string& id) {
    std::optional<rules::Rule> rule;
    std::string own;
    for (const std::string& set : sets_in_order()) {
        const rules::Library library = set_alone(set);
        const rules::Rule* there = find(library, id);
        const bool builds_on_it = std::any_of(library.sets.begin(), library.sets.end(),
                                              [&](const rules::SetName& base) { return base.name == own; });
        if (!rule && there) {
            print(*there);
            rule = *there;
            own = set;
        } else if (rule && builds_on_it) {
            print_change(set, *rule, there);
        }
    }
    if (!rule) throw ArgumentError(fmt::format("{}: there is no such rule; see waywarden rules list", id));
    return k_assessed;
}

int validate(const std::vector<std::string>& files) {
    int code = k_assessed;
    for (const std::string& file : files) {
        const std::vector<std::string> wrong = rules::validate(file);
        for (const std::string& one : wrong)
            std::cerr << "waywarden: " << report::plain(one) << '\n';
        if (wrong.empty())
            std::cout << report::plain(file) << ": nothing wrong, every example gives what it says\n";
        if (!wrong.empty()) code = k_not_usable;
    }
    return code;
}

} // namespace

Run prepare_rules(CLI::App& app) {
    struct Given {
        CLI::App *list, *show, *validate;
        std::string id;
        std::vector<std::string> files;
    };
    const auto given = std::make_shared<Given>();
    app.require_subcommand(1);
    given->list = app.add_subcommand("list", "Every rule that comes with the program");
    given->show = app.add_subcommand("show", "One rule");
    given->show->add_option("ID", given->id, "The rule's id")->required();
    given->validate = app.add_subcommand("validate", "Check files of rule sets and run their examples");
    given->validate->add_option("FILE", given->files, "Rule set files")->required();
    return [given] {
        if (given->list->parsed()) return list();
        if (given->show->parsed()) return show(given->id);
        return validate(given->files);
    };
}

} // namespace waywarden::cli
