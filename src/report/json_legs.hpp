#pragma once

#include "assess.hpp"
#include "report/json_parts.hpp"

namespace waywarden::report {

/// The legs of a route as docs/result.schema.json has them.
Json legs(const Assessed& route);

/// How their figures were come by.
Json legs_by(const survey::LegTable& table);

} // namespace waywarden::report
