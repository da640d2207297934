#pragma once

#include "report/result_reader.hpp"

#include <string>

namespace waywarden::cli {

/// A finding of a result; both point into it.
struct Picked {
    const Assessed* route = nullptr;
    const rules::Finding* finding = nullptr;
};

/// The finding a word means: its number in the report (where the result holds one route), `ROUTE:NUMBER` with
/// the name or the file of the route, a fingerprint, or a rule that only one finding is of. Throws
/// ArgumentError where there is none or more than one.
Picked pick_finding(const report::Result& result, const std::string& word);

} // namespace waywarden::cli
