#pragma once

#include "report/result_reader.hpp"

#include <string>
#include <vector>

namespace waywarden::report {

/// Results of several runs as one.
struct Merged {
    std::string json;      ///< as write_json() would have written it for all the routes
    Assessment assessment; ///< for tables; what read_result() gives
};

/// The routes in the order of the results. Throws ArgumentError where the results do not belong together:
/// another version, party, date or rule set, or a route file that is in two of them.
Merged merge(const std::vector<Result>& results);

} // namespace waywarden::report
