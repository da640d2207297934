#pragma once

#include "geo/grid_reference.hpp"

namespace waywarden::geo {

/// Metres on the British grid of a place already on OSGB36 (Airy 1830), without datum shift: for worked
/// examples, and for old positions. Inverse below. Source: EPSG:27700, projection 19916.
GridPosition british_grid_of_osgb36(Position osgb36);
Position osgb36_of_british_grid(double easting_m, double northing_m);

/// Whether the British or Irish grid names the place with letters: S, T, N, H and the sliver of O that land
/// reaches are 0-700 km east and 0-1300 km north; the Irish grid is one square of 500 km.
bool has_letters(double easting_m, double northing_m, GridSystem system);

} // namespace waywarden::geo
