#pragma once

#include "survey/hits.hpp"
#include "survey/survey.hpp"

#include <vector>

/// How far the walkers are from help that comes by road.
namespace waywarden::survey {

/// Whether an ambulance can be expected to get along a way: roads in use from trunk down to residential and
/// living streets, and service roads, unless vehicles are kept out; tracks only where the map says that
/// vehicles may, or that they are kept for emergencies. Motorways are left out: nobody is to walk there.
/// Common practice, no source: whether a gate is locked or a lane wide enough is not looked at.
bool ambulance_can_use(const map::Tags& tags);

/// Walking pace for this alone: 4 km/h along the ground, climbs not counted. Common practice, no source.
constexpr double k_help_pace_kmh = 4;

/// Adds the spot `farthest_from_road` and the facts of the same name on the route. The way to the road is
/// found along mapped paths and along the walk itself, whatever the right to walk there, and only in what was
/// read of the map: a nearer road outside it may be missed, so the time is never too short by that. Where no
/// such road was read at all it is unknown.
void find_farthest_from_road(const Scene& scene, const std::vector<Hit>& hits, const Given& given,
                             Survey& out);

/// Sets `escape_places`: places where another road or path that may be walked leaves the walk; and how many
/// there are to a kilometre.
void count_escapes(const Scene& scene, Survey& out);

} // namespace waywarden::survey
