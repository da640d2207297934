#pragma once

#include "map/ground.hpp"

#include <cstdint>

namespace waywarden::map {

/// What a line on the map is to a walker, coarsely. Names and classes are those fixed for results.
enum class Access : std::uint8_t {
    footpath,
    bridleway,
    byway,
    cycleway,
    track,
    pavement,
    minor_road,
    major_road,
    motorway,
    railway,
    water,
    ferry,
    open_ground,
};
const char* to_string(Access access);

enum class LineKind : std::uint8_t { path, road, rail, water, ferry, other };

/// The kind of a way by its tags, lifecycle states (construction, disused …) included: a road under
/// construction is a road. `highway` with area=yes is `path` all the same.
LineKind line_kind(const Tags& tags);

/// The class of a way that can be walked along (path, road, rail, ferry); `open_ground` for any other.
Access access_of(const Tags& tags);

/// "" for a way in use, else the state: construction, proposed, disused, abandoned, razed, closed
/// (highway=no).
std::string_view lifecycle(const Tags& tags);

/// The value of `highway`, also from construction=… or a lifecycle prefix (disused:highway=…).
std::string_view highway_class(const Tags& tags);

/// True where a tag is given and is not "no".
bool yes(const Tags& tags, std::string_view key);

} // namespace waywarden::map
