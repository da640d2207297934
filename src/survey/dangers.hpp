#pragma once

#include "map/ground.hpp"

#include <string_view>

/// What tags say of dangers to walkers, whether they stand on a point, a way or an area.
namespace waywarden::survey {

/// The value of `hazard`; "" for "no" and for signs put up for drivers. Source: OSM wiki, Key:hazard.
std::string_view hazard_of(const map::Tags& tags);

/// What one may fall into, in words, in use or not; "" for nothing. Source: OSM wiki, Tag:man_made=mineshaft,
/// Tag:natural=sinkhole, Tag:natural=crevasse.
std::string_view pit_of(const map::Tags& tags);

/// Source: OSM wiki, Tag:sport=shooting, Tag:sport=clay_pigeon_shooting, Tag:leisure=shooting_ground,
/// Tag:sport=archery.
bool is_shooting_ground(const map::Tags& tags);

/// A track on which motors race, as an area. Source: OSM wiki, Tag:sport=motor, Tag:sport=motocross,
/// Tag:highway=raceway.
bool is_motor_sport(const map::Tags& tags);

/// Recorded as disused or abandoned.
bool is_out_of_use(const map::Tags& tags);

} // namespace waywarden::survey
