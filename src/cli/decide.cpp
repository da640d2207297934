#include "cli/command.hpp"
#include "cli/date.hpp"
#include "error.hpp"
#include "report/decision.hpp"
#include "report/output.hpp"
#include "report/ranking.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <iostream>
#include <memory>

namespace waywarden::cli {

namespace {

struct DecideOptions {
    std::string result, yes_if, not_yet, by, out;
    bool yes = false;
};

report::Decision decision_of(const DecideOptions& options) {
    report::Decision out;
    out.by = options.by;
    out.at_s = now_s();
    if (!options.yes_if.empty()) {
        out.word = "yes-if";
        out.text = options.yes_if;
    } else if (!options.not_yet.empty()) {
        out.word = "not-yet";
        out.text = options.not_yet;
    } else {
        out.word = "yes";
    }
    return out;
}

/// What a yes is said to in spite of, on standard error: the record is made all the same.
void say_what_stands_against(const report::Result& result) {
    for (const Assessed& route : result.assessment.routes) {
        if (route.verdict == rules::Verdict::cannot_vouch) {
            std::cerr << report::plain(fmt::format(
                             "waywarden: {}: some of it could not be checked at all; a yes rests on what you "
                             "know yourself",
                             route.route.name))
                      << '\n';
        } else if (const auto objections = report::tally(route).errors) {
            std::cerr << report::plain(
                             fmt::format("waywarden: {}: {} not accepted", route.route.name,
                                         report::counted(objections, "objection is", "objections are")))
                      << '\n';
        }
    }
    for (const NotRead& one : result.assessment.not_read)
        std::cerr << report::plain(
                         fmt::format("waywarden: {}: was not read, and is no part of the decision", one.path))
                  << '\n';
}

int decide(const DecideOptions& options) {
    if (options.by.find_first_not_of(' ') == std::string::npos)
        throw ArgumentError("--by: is empty; name the role of whoever decides");
    if (std::filesystem::exists(options.out))
        throw ArgumentError(fmt::format(
            "-o {}: is there already, and a record is not written over; name another file", options.out));
    const report::Result result = report::read_result(options.result);
    const report::Decision decision = decision_of(options);
    if (decision.word != "not-yet") say_what_stands_against(result);
    report::write_whole(options.out,
                        [&](std::ostream& out) { report::write_decision(decision, result, out); });
    std::cout << report::plain(
                     fmt::format("Recorded: {}{}{}, by {}, for {}.", decision.word,
                                 decision.text.empty() ? "" : ": ", decision.text, decision.by,
                                 report::counted(result.assessment.routes.size(), "route", "routes")))
              << '\n';
    return k_assessed;
}

} // namespace

Run prepare_decide(CLI::App& app) {
    const auto options = std::make_shared<DecideOptions>();
    DecideOptions& o = *options;
    const auto filled = CLI::Validator(
        [](const std::string& s) {
            return s.find_first_not_of(" \t\r\n") == std::string::npos ? "says nothing; write it in words"
                                                                       : "";
        },
        "");
    app.add_option("RESULT", o.result, "Result of a check (--format json)")->required();
    CLI::Option_group* word = app.add_option_group("decision");
    word->add_flag("--yes", o.yes, "The walk may go ahead");
    word->add_option("--yes-if", o.yes_if, "It may, on this condition")->check(filled);
    word->add_option("--not-yet", o.not_yet, "It may not yet, because of this")->check(filled);
    word->require_option(1);
    app.add_option("--by", o.by, "Who decides: a role, no name is needed")->required();
    app.add_option("-o,--output", o.out, "File for the record; never written over")->required();
    app.footer("The record holds the decision, the verdicts, the versions of program and map, and the "
               "SHA-256 of the\n"
               "result, by which anyone can tell later what it was decided on.");
    return [options] { return decide(*options); };
}

} // namespace waywarden::cli
