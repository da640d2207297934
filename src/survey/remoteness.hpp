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

/// What the law on adventure activities calls trekking begins beyond this.
/// Source: SI 2004/1309, regulation 2.
constexpr double k_remote_min = 30;

/// Adds a spot `farthest_from_road` for each run of the walk farther than k_remote_min on foot from a road an
/// ambulance can use, or where there is none a single one at the farthest place; and the fact
/// `farthest_from_road_min` on stretches and the route. The way to the road is found along mapped paths and
/// along the walk itself, whatever the right to walk there, and exact up to half an hour; what is longer may
/// be too long but is over half an hour. Where no such road was found it is unknown.
void find_farthest_from_road(const Scene& scene, const std::vector<Hit>& hits, Survey& out);

/// Sets `escape_places`: places where another road or path that may be walked leaves the walk; and how many
/// there are to a kilometre.
void count_escapes(const Scene& scene, Survey& out);

/// Those places in metres along the walk, as often as they are passed.
std::vector<double> escapes_at_m(const Scene& scene);

} // namespace waywarden::survey
