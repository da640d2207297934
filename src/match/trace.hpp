#pragma once

#include "map/ground.hpp"
#include "route/route.hpp"

#include <optional>
#include <vector>

namespace waywarden::match {

/// A place on the line that is walked.
struct TracePoint {
    geo::Position position;
    double at_m = 0;                      ///< metres along the route as drawn
    map::NodeIndex node = map::k_no_node; ///< where the line runs through a node of the map
};

/// Another way the drawn line could be read as, over some of the metres of a stretch.
struct Reading {
    std::optional<map::WayIndex> way; ///< none: open ground
    double probability = 0;           ///< on average from from_m to to_m
    double from_m = 0, to_m = 0;      ///< where it is 0.05 and more, within the stretch
};

/// A piece of the walk on one way, or over open ground.
struct Stretch {
    std::optional<map::WayIndex> way; ///< none: open ground
    double from_m = 0, to_m = 0;      ///< along the route as drawn
    double confidence = 0;            ///< posterior probability of this reading
    std::vector<TracePoint>
        line; ///< two or more, from_m to to_m in order; on a way every node passed is there
    std::vector<Reading> others; ///< other readings with a probability of 0.05 and more, in order of from_m
};

/// Where the drawn line goes. Stretches cover the route in order without gap or overlap; two stretches of one
/// segment on ways meet at a shared node or at a place on open ground. A segment of the route begins a new
/// stretch, and `segment_starts` holds the index of its first.
struct Trace {
    std::vector<Stretch> stretches;
    std::vector<std::size_t> segment_starts;
    double length_m = 0;
    double error_m = 0; ///< the standard error of the drawn line that was estimated from it, an axis
};

} // namespace waywarden::match
