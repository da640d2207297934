#pragma once

#include "survey/hits.hpp"

#include <vector>

namespace waywarden::survey {

/// Which hits are one event to the walkers: both halves of a dual carriageway, slip roads, the ways of a
/// roundabout, tracks side by side, braided water, a line of water and its area, and a path that runs beside
/// a line and cuts it again and again.
struct Places {
    std::vector<int> number;     ///< a hit, from 1 in order of the walk
    std::vector<int> pair_count; ///< a hit: how many cuts of the same two ways were gathered; 1 if no more
};

/// Hits in order of the walk.
Places gather_places(const Scene& scene, const std::vector<Hit>& hits);

} // namespace waywarden::survey
