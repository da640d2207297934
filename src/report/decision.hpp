#pragma once

#include "report/result_reader.hpp"

#include <cstdint>
#include <iosfwd>
#include <string>

namespace waywarden::report {

/// What whoever answers for the walk has decided.
struct Decision {
    std::string word; ///< yes, yes-if, not-yet
    std::string text; ///< the condition, or what is missing
    std::string by;   ///< a role
    std::int64_t at_s = 0;
};

/// The record of a decision on a result: docs/accepted.md.
void write_decision(const Decision& decision, const Result& result, std::ostream& out);

} // namespace waywarden::report
