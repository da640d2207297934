#pragma once

#include "rules/rule.hpp"
#include "rules/rule_set.hpp"

#include <span>
#include <string>
#include <vector>

/// Rule sets as files: found by name, put together, checked.
namespace waywarden::rules {

/// The rules of several sets and of what they build on, in that order, each set once.
struct Library {
    std::vector<SetName> sets;
    std::vector<Rule> rules;
};

/// Throws ArgumentError (no such set) or DataError (the first thing wrong in a file, examples included).
Library load_sets(std::span<const std::string> names_or_files);

/// Everything wrong with the file of a rule set, "FILE:LINE: POINTER: what"; empty where all is well. Runs
/// its examples, and those of what it builds on after its changes. Never throws for what the file says.
std::vector<std::string> validate(const std::string& file);

/// The names of the shipped rule sets.
std::vector<std::string> set_names();

} // namespace waywarden::rules
