#pragma once

#include "map/tag_reading.hpp"

namespace waywarden::map {

/// The right on foot along a way: foot:conditional > foot > designation > access > the region's presumption.
RightReading right_of(const Tags& tags, const region::Region& region);

/// What a node's own foot and access tags say; unknown where they are silent.
RightReading right_of_barrier(const Tags& tags);

} // namespace waywarden::map
