#pragma once

#include "assess.hpp"

#include <string>
#include <vector>

namespace waywarden::cli {

/// What `waywarden check` was told.
struct CheckOptions {
    std::vector<std::string> routes, maps, rule_sets;
    std::string region = "auto", party = "youth-expedition", start;
    std::string elevation;         ///< raster of heights, or a folder of them
    std::string legs;              ///< "" by the checkpoints of the file
    std::string card;              ///< of the one route given, or ""
    std::string accepted, against; ///< files, or ""
    std::vector<std::string> formats;
    std::string out; ///< "" standard output
    std::string reader = "leader", fail_on = "error";
    int jobs = 2;
};

/// Checks and writes; gives the exit code. Throws ArgumentError and DataError.
int check(const CheckOptions& options);

/// The code for what was found: 3 before 2 before 1.
int exit_code(const Assessment& assessment, const std::string& fail_on);

} // namespace waywarden::cli
