#include "cli/command.hpp"
#include "error.hpp"
#include "report/words.hpp"
#include "rules/library.hpp"

#include <fmt/format.h>

#include <iostream>
#include <memory>

namespace waywarden::cli {

namespace {

void say(std::string_view label, const std::string& text) {
    if (!text.empty()) std::cout << report::wrapped(label, report::plain(text), 78);
}

rules::Library all_rules() {
    return rules::load_sets(rules::set_names());
}

int list() {
    const rules::Library library = all_rules();
    for (const rules::SetName& set : library.sets)
        std::cout << fmt::format("{}, version {}\n", set.name, set.version);
    for (const rules::Rule& rule : library.rules) // one a line, to search through
        std::cout << fmt::format("  {:<8} {} {}\n", rules::to_string(rule.level), report::padded(rule.id, 36),
                                 rule.title);
    return k_assessed;
}

std::string what_unknown_does(const rules::IfUnknown& rule) {
    if (rule.report) return "reported all the same";
    return rule.level ? fmt::format("reported as a {}", rules::to_string(*rule.level)) : "not reported";
}

int show(const std::string& id) {
    const rules::Library library = all_rules();
    for (const rules::Rule& rule : library.rules) {
        if (rule.id != id) continue;
        say("", fmt::format("{}: {}", rule.id, rule.title));
        say("  level       ",
            fmt::format("{}{}", rules::to_string(rule.level),
                        rule.grade.empty() ? "" : ", or another where a grade in its file says so"));
        say("  about       ", survey::to_string(rule.about));
        say("  not known   ", what_unknown_does(rule.if_unknown));
        say("  vouching    ", rule.vouch ? "" : "where it fires the route cannot be vouched for");
        say("  message     ", rule.message);
        say("  advice      ", rule.advice);
        for (const std::string& one : rule.grounds)
            say("  grounds     ", one);
        return k_assessed;
    }
    throw ArgumentError(fmt::format("{}: there is no such rule; see waywarden rules list", id));
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
