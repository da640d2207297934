#include "cli/command.hpp"
#include "cli/last_resort.hpp"
#include "cli/version.hpp"
#include "error.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <array>
#include <csignal>
#include <cstdio>
#include <iostream>
#include <new>
#include <system_error>

namespace waywarden::cli {

namespace {

constexpr std::array k_commands{
    Command{"check", "Check planned routes against a map", prepare_check},
    Command{"prepare", "Make a map that is read much faster, out of extracts", prepare_prepare},
    Command{"inspect", "Show what the map says at a place, and how it is read", prepare_inspect},
    Command{"rules", "List, show and check rules", prepare_rules},
    Command{"accept", "Accept a finding for a time, on record", prepare_accept},
    Command{"decide", "Put a decision on record", prepare_decide},
    Command{"collect", "Put results of several runs together into one summary", prepare_collect},
    Command{"demo", "Check the invented example that comes with the program", prepare_demo},
    Command{"completion", "Print what makes a shell complete waywarden's words", prepare_completion},
};

constexpr const char* k_about =
    "Checks a planned walking route against an OpenStreetMap extract, for whoever has to say yes or no to "
    "it.\n"
    "A clean report is not an approval: local law, local advice and a competent leader decide.";

/// One line on standard error, whatever the text.
int refuse(const std::string& what) {
    std::cerr << "waywarden: " << report::plain(what) << std::endl;
    return k_not_usable;
}

/// A report that did not reach its reader is no success.
int finish(int code) {
    std::cout.flush();
    if (std::cout.good() && std::fflush(stdout) == 0) return code;
    return std::max(code, refuse("standard output could not be written (closed pipe or full disk?); "
                                 "use --out to write files"));
}

void refuse_unknown_command(const std::string& word) {
    std::string names;
    for (const Command& command : k_commands) {
        if (word == command.name) return;
        names += (names.empty() ? "" : ", ") + std::string(command.name);
    }
    throw ArgumentError(fmt::format("{}: there is no such command; there are {}", word, names));
}

int parse_and_run(CLI::App& app, int argc, char** argv) {
    if (argc > 1 && argv[1][0] != '-') refuse_unknown_command(argv[1]);
    std::vector<Run> runs;
    std::vector<CLI::App*> subcommands;
    for (const Command& command : k_commands) {
        CLI::App* sub = app.add_subcommand(command.name, command.summary);
        runs.push_back(command.prepare(*sub));
        subcommands.push_back(sub);
    }
    try {
        app.parse(argc, argv);
    } catch (const CLI::Success& asked) { // --help, --version
        app.exit(asked, std::cout, std::cerr);
        return finish(k_assessed);
    } catch (const CLI::ParseError& e) {
        std::string command = "waywarden";
        for (const CLI::App* sub : app.get_subcommands())
            command += " " + sub->get_name();
        return refuse(fmt::format("{}; see {} --help", e.what(), command));
    }
    for (std::size_t i = 0; i < runs.size(); ++i)
        if (subcommands[i]->parsed()) return finish(runs[i]());
    throw InternalError("no command was run");
}

int run(int argc, char** argv) {
    CLI::App app{k_about, "waywarden"};
    app.set_version_flag("--version", version_words, "Print the version and those of the libraries, and end");
    app.set_help_flag("-h,--help", "Print this and end");
    app.require_subcommand(1);
    try {
        return parse_and_run(app, argc, argv);
    } catch (const ArgumentError& e) {
        return refuse(e.what());
    } catch (const DataError& e) {
        return refuse(e.what());
    } catch (const std::bad_alloc&) {
        return refuse("there is not enough memory for this map and these routes; use a smaller extract");
    } catch (const std::system_error& e) {
        return refuse(
            fmt::format("{}; there is too little memory, or there are too many threads: try --jobs 1 or "
                        "a smaller extract",
                        e.what()));
    } catch (const std::exception& e) {
        return refuse(fmt::format("a mistake of waywarden itself: {}; please report it with the command and "
                                  "the files that led to it",
                                  e.what()));
    }
}

} // namespace

} // namespace waywarden::cli

/// Read by jemalloc before main (its manual, TUNING). One arena for all threads: where the system has no
/// memory for another, jemalloc 5.3 ends in a crash; threads keep what they free for themselves all the same.
extern "C" const char* malloc_conf; // NOLINT(cppcoreguidelines-avoid-non-const-global-variables)
const char* malloc_conf = "narenas:1";

int main(int argc, char** argv) {
    // A reader that has gone away is found by the failed write, which main tells of.
    std::signal(SIGPIPE, SIG_IGN);
    waywarden::cli::end_in_words();
    return waywarden::cli::run(argc, argv);
}
