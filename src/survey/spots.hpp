#pragma once

#include "survey/areas.hpp"
#include "survey/survey.hpp"

#include <cstdint>
#include <vector>

/// Points and areas on or beside the walk, and what is odd about the line or the map.
namespace waywarden::survey {

/// Areas the walk enters, each piece from where the line enters to where it leaves: military ground, tidal
/// flats, farmyards, quarries, gardens, private ground and so on. Buildings only where the walk is on open
/// ground.
void find_area_spots(const Scene& scene, const AreaFinder& finder, std::vector<Spot>& out);

/// Gates, stiles and other barriers on the way walked.
void find_barrier_spots(const Scene& scene, std::vector<Spot>& out);

/// Cliffs and quarry edges within 10 m of the walk or cut by it.
void find_edge_spots(const Scene& scene, const AreaFinder& finder, std::vector<Spot>& out);

/// Runways and taxiways drawn as lines that the walk crosses or follows at their level, 10 m from their
/// middle and nearer; recorded hazards within 30 m that are points, and ways walked that carry one. Signs for
/// drivers are left out.
void find_hazard_spots(const Scene& scene, std::vector<Spot>& out);

/// What the reader of the route found odd about the line.
void find_line_spots(const route::Route& route, std::vector<Spot>& out);

/// Pieces of the drawn line outside the map, or where the map shows nothing at all; what the map lacks near
/// the route; how old it is.
void find_map_spots(const Scene& scene, const route::Route& route, const AreaFinder& finder,
                    std::int64_t today_s, std::vector<Spot>& out);

/// Stretches whose line can be read two ways of different danger; tags that could not be read.
void find_doubt_spots(const std::vector<StretchSurvey>& stretches, std::vector<Spot>& out);

/// What the map cannot tell for this route, in plain words.
std::vector<std::string> what_is_not_seen(const map::Ground& ground);

/// Age of the oldest file in days; none where one has no date.
std::optional<double> map_age_days(const map::Ground& ground, std::int64_t today_s);
/// The day of the oldest source, "" where that of any is not known.
std::string map_date(const map::Ground& ground);

/// Unix time of an ISO 8601 date or date and time in UTC; none where it cannot be read.
std::optional<std::int64_t> time_of(std::string_view iso);

/// A spot with the facts that every spot has.
Spot spot_of(std::string_view kind, double from_m, double to_m, geo::Position position, double distance_m,
             bool within);

} // namespace waywarden::survey
