#pragma once

#include <CLI/CLI.hpp>

#include <functional>

namespace waywarden::cli {

/// Exit codes; of several the highest counts.
inline constexpr int k_assessed = 0;
inline constexpr int k_objected = 1;    ///< something at or above --fail-on
inline constexpr int k_not_usable = 2;  ///< an argument or an input could not be used
inline constexpr int k_not_vouched = 3; ///< some of a route could not be vouched for

/// What a command does once its arguments are parsed; gives the exit code. Failures are exceptions.
using Run = std::function<int()>;

/// A command: one row in the table of main.cpp, one file of its own. `prepare` declares the options on `app`
/// and opens nothing.
struct Command {
    const char* name;
    const char* summary;
    Run (*prepare)(CLI::App& app);
};

Run prepare_check(CLI::App& app);
Run prepare_prepare(CLI::App& app);
Run prepare_inspect(CLI::App& app);
Run prepare_rules(CLI::App& app);
Run prepare_accept(CLI::App& app);
Run prepare_decide(CLI::App& app);
Run prepare_collect(CLI::App& app);
Run prepare_demo(CLI::App& app);
Run prepare_completion(CLI::App& app);

} // namespace waywarden::cli
