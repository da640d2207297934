#pragma once

#include "assess.hpp"
#include "report/json_parts.hpp"

namespace waywarden::report {

/// The legs of a route as docs/result.schema.json has them.
Json legs(const Assessed& route);

/// The sun and the clock of the day; null where no date was given.
Json daylight(const survey::Survey& survey);

/// How their figures were come by.
Json legs_by(const survey::LegTable& table);

} // namespace waywarden::report
