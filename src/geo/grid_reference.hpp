#pragma once

#include "geo/position.hpp"

#include <optional>
#include <string>
#include <string_view>

namespace waywarden::geo {

/// Which grid a place is named on; chosen by the region, never by whether a projection succeeds.
enum class GridSystem { british, irish, utm };

/// The grid reference of the square that holds the place: `SK 914 113` (six figures, a 100 m square).
/// `figures` is even, 2 to 10. Truncated, never rounded. Outside the system's own area (for example a
/// negative easting) the MGRS reference is given instead, written `30U XC 644 394`.
/// Accuracy: British 5 m (EPSG:1314, a seven-parameter shift), Irish 1 m; so 8 or 10 figures may be off by
/// one. Throws InternalError where `figures` is none of 2, 4, 6, 8, 10 or the position is off the globe.
std::string grid_reference(Position p, GridSystem system, int figures = 6);

/// A place on a grid. For `utm` the numbers are those of the zone the place is in.
struct GridPosition {
    double easting_m = 0, northing_m = 0;
    double convergence_deg = 0; ///< from true north to grid north, clockwise positive
    bool in_area = true;        ///< whether the grid has letters for it
};

/// Metres on the grid, after the datum shift of the system: British EPSG:1314 reversed (up to 5 m off the
/// definitive OSTN15), Irish "TM75 to WGS 84 (2)" reversed (1 m), UTM none. Throws InternalError for a
/// position off the globe or, where the projection has no answer (a quarter of the globe away), gives
/// in_area = false and infinite metres.
GridPosition grid_position(Position p, GridSystem system);

/// The reverse: the position of a place given in metres on the British or Irish grid. Accuracy as above.
Position position_on_grid(double easting_m, double northing_m, GridSystem system);

/// The south-west corner and the middle of the square that a reference names, and how large it is.
struct GridSquare {
    Position corner, middle;
    double size_m = 0;
};

/// Reads `SK 914 113`, `sk914113`, `SK 91400 11300`, Irish `O 159 346` and MGRS `30U XC 644 394`; also
/// without blanks. Empty where it is no reference of that system (MGRS is read in every system).
std::optional<GridSquare> parse_grid_reference(std::string_view text, GridSystem system);

} // namespace waywarden::geo
