#pragma once

#include "survey/scene.hpp"
#include "survey/survey.hpp"

#include <vector>

/// Where the walk keeps to the edge of deep or moving water.
namespace waywarden::survey {

/// Spots `water_edge`: pieces of 50 m and more along paths, tracks or open ground within 5 m of a river, a
/// canal, a lake or the coastline; gaps of 25 m are bridged. A river or canal drawn only as a line is taken
/// as wide as recorded, else 8 m. Streams and ditches, water underground, and walking along roads are left
/// out. Common practice, no source for the figures.
void find_water_edges(const Scene& scene, std::vector<Spot>& out);

} // namespace waywarden::survey
