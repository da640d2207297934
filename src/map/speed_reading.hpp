#pragma once

#include "map/tag_reading.hpp"

namespace waywarden::map {

/// Whether a road is one carriageway of two with a strip between; absent where a one-way line may be either.
std::optional<bool> dual_carriageway_of(const Tags& tags);

/// Whether street lamps, or the lack of them, are recorded.
std::optional<bool> lit_of(const Tags& tags);

/// The speed limit of a road: recorded, by a word of zone or class, or presumed by the region. Of several
/// values (directions, lanes, lists) the highest; of presumptions that may apply the highest. `maxspeed=walk`
/// is 7 km/h (common practice, no source). A bare number is km/h as OSM has it, but in a region whose signs
/// are in miles a number that stands on signs (a multiple of 5 to 70) is read as miles an hour, the worse of
/// two readings.
SpeedReading speed_of(const Tags& tags, const region::Region& region);

} // namespace waywarden::map
