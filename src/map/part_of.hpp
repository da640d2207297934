#pragma once

#include "map/read.hpp"

namespace waywarden::map {

/// What a reading of the same files for this corridor alone would have given, out of one for more corridors:
/// so that a route is judged alike whether it is read alone or with others. Missing data that have no place
/// stay.
Ground part_of(const Ground& ground, const Corridor& corridor);

} // namespace waywarden::map
