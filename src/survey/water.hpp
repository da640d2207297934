#pragma once

#include "survey/areas.hpp"

#include <vector>

/// Water that the map shows as an area, tidal flats and the sea.
namespace waywarden::survey {

/// Whether an area is water that a walker would have to get over: lakes, rivers and docks drawn as areas,
/// reservoirs, tidal flats. Swamps and swimming pools are not.
bool is_water_area(const map::Tags& tags);

/// Dry only at low water: a tidal flat, or ground tagged tidal=yes.
bool is_tidal_ground(const map::Tags& tags);

/// A piece of the walk in water.
struct WaterSpan {
    AreaSpan span;
    const map::Area* area = nullptr;    ///< none: the sea
    std::optional<map::WayIndex> coast; ///< the sea: the piece of coastline crossed or nearest
};

/// Every piece of the walk within water areas or below the coastline (land on its left), in order of areas.
/// Where the walk keeps to the edge of water it is on the bank (see water_banks.hpp), but not between two
/// waters.
std::vector<WaterSpan> find_water_spans(const Scene& scene, const AreaFinder& finder);

} // namespace waywarden::survey
