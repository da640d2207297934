#pragma once

#include "match/lattice.hpp"

#include <vector>

/// Exact lines beside a way that the map has some metres elsewhere.
namespace waywarden::match {

struct MatchGround {
    const map::Ground& ground;
    const MatchPlane& plane;
    const Network& network;
};

/// Looks again where a line that is exact (drawn on a map to less than 5 m) is off any way. Maps have ways
/// some metres elsewhere than they are, and elsewhere again a year later: a line is beside a way, not off it,
/// where all the way it runs within 15 m of one, in its shape and about as long, and where nothing that
/// divides the ground lies between the two: water, rails, walls and fences, cliffs, other roads. Where any of
/// it fails the line stays off any way. Returns the solution with those pieces on their ways; the
/// observations there keep the error of the map in `map_error_m`.
Solution look_beside(const MatchGround& on, const ErrorModel& model, std::vector<Observation>& line,
                     Solution solution);

} // namespace waywarden::match
