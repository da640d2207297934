#pragma once

#include "rules/json_text.hpp"
#include "survey/survey.hpp"

namespace waywarden::report {

/// What a route of an earlier result was found to run along, cross and pass: stretches with their lines,
/// crossings and spots with their facts. Facts that this version does not know, or that are of another type
/// now, are left out: they are unknown. Throws DataError as read_result().
void add_walk(const rules::Value& route, survey::Survey& out);

} // namespace waywarden::report
