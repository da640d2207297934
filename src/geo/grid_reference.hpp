#pragma once

#include "geo/position.hpp"

#include <string>

namespace waywarden::geo {

/// Which grid a place is named on; chosen by the region, never by whether a projection succeeds.
enum class GridSystem { british, irish, utm };

/// The grid reference of the square that holds the place: `SK 914 113` (six figures, a 100 m square).
/// `figures` is even, 2 to 10. Truncated, never rounded. Outside the system's own area (for example a
/// negative easting) the MGRS reference is given instead, written `30U XC 644 394`.
/// Accuracy: British 5 m (EPSG:1314, a seven-parameter shift), Irish 1 m; so 8 or 10 figures may be off by one.
std::string grid_reference(Position p, GridSystem system, int figures = 6);

} // namespace waywarden::geo
