#pragma once

#include "survey/scene.hpp"

namespace waywarden::survey {

/// Whether a footway is mapped on its own along a road walked, over at least half of the walk's piece on it:
/// a path tagged as pavement within 25 m, or any footway within 15 m, that runs parallel to within 25
/// degrees. `from_m`, `to_m`: the piece, along the route as drawn.
bool footway_runs_beside(const Scene& scene, std::size_t stretch);

} // namespace waywarden::survey
