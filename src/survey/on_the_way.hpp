#pragma once

#include "survey/areas.hpp"
#include "survey/survey.hpp"

#include <string_view>
#include <vector>

/// What lies on the way, collected without opinion.
namespace waywarden::survey {

constexpr double k_on_the_way_m = 100;

/// The kind of place that tags make, "" for none: car_park, toilets, drinking_water, shelter, pub, cafe,
/// shop, worship, heritage, nature, viewpoint, emergency_point, defibrillator, phone, bus_stop, information,
/// camp_site, lodging, hospital.
std::string_view place_kind(const map::Tags& tags);

/// Every such place within 100 m of the walk, once (what has drinking water beside being another, as both),
/// where the walk comes nearest first; in order of the walk. Kept private: not listed.
std::vector<PlaceOnTheWay> find_places_on_the_way(const Scene& scene, const AreaFinder& finder);

/// Whether a surface, as the map writes it, is paved.
bool is_paved(std::string_view surface);

/// Route facts: stiles, gates, kissing gates and flights of steps passed, metres by surface.
void count_on_the_way(const Scene& scene, Survey& out);

} // namespace waywarden::survey
