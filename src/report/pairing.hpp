#pragma once

#include "assess.hpp"

/// Which findings of two results are the same one.
namespace waywarden::report {

/// Marks each finding of `route` as new or unchanged, and puts those of `before` that are no longer found
/// under `route.absent`. The same is: the same rule, with an OSM object in common within 50 m, else
/// (renumbered or redrawn) within 30 m or along the same piece of the walk. What was gathered into one
/// finding, then or now, is the same as its parts. A finding that got worse since (a higher level, more
/// places, 50 m longer) counts as new, and says what it was.
void pair_findings(Assessed& route, const Assessed& before);

} // namespace waywarden::report
