#pragma once

#include "survey/hits.hpp"
#include "survey/survey.hpp"

#include <vector>

/// Where a vehicle that brings help gets to the walk.
namespace waywarden::survey {

/// Pieces of the walk along roads that an ambulance can be expected to use (ambulance_can_use()), and places
/// where such a road meets or crosses it at grade; in order of the walk. Two of one road less than 20 m apart
/// are one. Gates, widths, heights and soft ground are not looked at.
std::vector<VehicleReach> find_vehicle_reach(const Scene& scene, const std::vector<Hit>& hits);

} // namespace waywarden::survey
