#pragma once

#include "map/collect.hpp"

#include <cstdint>
#include <vector>

/// Where in a prepared map an object is kept: in exactly one cell, by its size and its middle, so that large
/// things are found from everywhere in them and small ones do not get in the way.
namespace waywarden::map {

/// What is kept apart, so that who needs one need not read the others.
enum class Layer : std::uint8_t { nodes = 1, roads = 2, ways = 3, relations = 4, tallies = 5 };

/// A cell: the layer, then the level, then the place along a curve on which neighbours are mostly near.
/// At level n cells are 2^n units of 1e-7 degrees wide and high; level 32 is the globe.
using CellKey = std::uint64_t;

/// Of tallies larger cells are read anyway, for they are asked for from farther off.
constexpr int finest_level(Layer layer) {
    return layer == Layer::tallies ? 20 : 18; // 0.105 and 0.026 degrees: 11.7 and 2.9 km of latitude
}

/// The cell of an object: the finest whose width its box does not exceed, and that its middle lies in.
CellKey cell_of(Layer layer, const UnitBox& box);
/// For objects that have no known place but matter everywhere.
CellKey cell_of_everywhere(Layer layer);

/// The finest level at which a layer can have cells, and the cells of one level in which objects that meet a
/// box can be: those whose middle lies in it or half a cell beside it. Ascending.
CellKey first_of_level(Layer layer, int level);
std::vector<CellKey> cells_that_meet(Layer layer, int level, const std::vector<UnitBox>& boxes);

/// Boxes of some kilometres each that together hold every place that a net of this corridor and reach holds.
/// None crosses the 180th degree.
std::vector<UnitBox> boxes_around(const Corridor& corridor, double reach_m);

} // namespace waywarden::map
