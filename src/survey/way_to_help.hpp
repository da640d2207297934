#pragma once

#include "survey/hits.hpp"
#include "survey/scene.hpp"

#include <vector>

namespace waywarden::survey {

/// A straight piece of the walk, from `from` to `to` as shares of one step, with the metres on foot to the
/// nearest road an ambulance can use from both its ends; infinite where none was found.
struct HelpPiece {
    std::size_t walk = 0, step = 0;
    double from = 0, to = 1;
    double length_m = 0; ///< 0 along such a road, where help is at hand all along
    double from_m = 0, to_m = 0;

    /// Where in the piece, as a share of it, the way out is longest: where both ways are equally long.
    double farthest_share() const;
    double metres_at(double share) const;
};

/// All pieces in order of the walk. The way to the road is the shortest along mapped paths and the walk
/// itself, whatever the right to walk there; it is exact as far as the map was read around the walk
/// (Corridor::around_m), and beyond that never too short.
std::vector<HelpPiece> ways_to_help(const Scene& scene, const std::vector<Hit>& hits);

} // namespace waywarden::survey
