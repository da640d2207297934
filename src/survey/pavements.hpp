#pragma once

#include "survey/facts.hpp"
#include "survey/scene.hpp"

#include <vector>

namespace waywarden::survey {

/// A piece of a road walked along, in metres along the route as drawn.
struct PavementRun {
    double from_m = 0, to_m = 0;
    bool beside = false; ///< a footway on its own goes with it
};

/// Where a footway mapped on its own goes along a road of the walk: a path tagged as pavement within 25 m, or
/// any footway within 15 m (25 m where the road says that its pavement is mapped separately), parallel to
/// within 25 degrees, that frees the walkers from the road. That is one on which their right is not refused
/// and not in doubt when they pass, in use, at the height of the road and not parted from it. Runs cover the
/// stretch in order; those under 50 m go with longer neighbours, as at a junction. `road`: the way that the
/// stretch is taken to be on.
std::vector<PavementRun> pavement_runs(const Scene& scene, std::size_t stretch, map::WayIndex road);

/// Whether runs have a footway beside over at least half of a piece.
bool footway_runs_beside(const std::vector<PavementRun>& runs, double from_m, double to_m);

/// Whether the facts of a stretch on a road have a pavement. One said to be mapped as a way of its own counts
/// only where it is found.
bool has_pavement(const Facts& facts);

} // namespace waywarden::survey
