#pragma once

#include "route/route.hpp"
#include "rules/finding.hpp"

#include <functional>
#include <vector>

/// What lies where the line breaks off. A gap is no part of the route; but whoever walks the route gets over
/// it, and a short one as good as straight.
namespace waywarden {

/// Judges a line of two points as if it were walked.
using JudgeLine = std::function<std::vector<rules::Finding>(const route::Route& line)>;

/// Adds to the findings, which are in order of the walk, those of level error or warning that rest on
/// something the map holds straight across a gap of at most 100 m, unless the same stands there already. What
/// lies in a longer gap is anybody's guess: rules tell of it.
void add_across_gaps(const route::Route& route, const JudgeLine& judge,
                     std::vector<rules::Finding>& findings);

} // namespace waywarden
