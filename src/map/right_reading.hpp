#pragma once

#include "map/hours.hpp"
#include "map/tag_reading.hpp"

#include <optional>

namespace waywarden::map {

/// The right on foot along a way: foot:conditional > foot > designation > access > the region's presumption.
/// Where a time is given conditions are weighed, and where they can be told the right is what they say; else
/// a condition that may change the answer makes it unknown.
RightReading right_of(const Tags& tags, const region::Region& region, const std::optional<At>& when = {});

/// What a node's own foot and access tags say; unknown where they are silent.
RightReading right_of_barrier(const Tags& tags, const std::optional<At>& when = {});

/// Whether walkers are kept out at a time by what the tags say of times, opening hours and seasons included.
struct ClosedReading {
    enum class State { no, yes, unknown };
    State state = State::no;
    std::string because; ///< why, where it is not `no`
};
ClosedReading closed_on_foot(const Tags& tags, const region::Region& region, const At& when);

} // namespace waywarden::map
