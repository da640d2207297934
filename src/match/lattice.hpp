#pragma once

#include "match/network.hpp"
#include "match/reach.hpp"

#include <cstddef>
#include <cstdint>
#include <vector>

/// The hidden Markov model: where could each drawn point stand for, and which chain of such places is
/// likeliest.
namespace waywarden::match {

/// A point of the drawn line that the model looks at.
struct Observation {
    geo::Metres2 at;
    double at_m = 0;         ///< metres along the route as drawn
    bool drawn = true;       ///< false: put in between on a long straight leg, says little
    double turn_deg = 0;     ///< by how much the drawn line turns here
    bool on_network = false; ///< open ground is ruled out here
    double map_error_m = 0;  ///< by how much the map itself may have the ways elsewhere, an axis
};

/// How a drawn line differs from the walk it means. Estimated from the line itself.
struct ErrorModel {
    double sigma_m = 8;        ///< standard error of a drawn point, an axis
    double correlation_m = 50; ///< the error of two points this far apart has a correlation of 1/e
    double even_step_m =
        0; ///< metres walked between two points where the line was sampled evenly; 0: it was not
    double step_spread_m = 0; ///< standard deviation of that
};

/// Standard error of an observation, an axis: a point put in between says less than a drawn one.
double error_at(const Observation& o, const ErrorModel& model);

struct Candidate {
    Place place;
    geo::Metres2 residual; ///< drawn minus place
};

/// How the walk gets from the candidate chosen at one observation to the next.
enum class Move : std::uint8_t { start, along_edge, by_network, over_open_ground };

struct Chosen {
    bool on_network = false;
    Place place;               ///< where on_network
    Move move = Move::start;   ///< from the observation before
    bool leaves_by_to = false; ///< by_network: leaves the previous edge over its `to` end
    bool arrives_by_to = false;
    double walked_m = 0; ///< from the observation before
};

/// A way (or open ground, way = none) and how probable it is at an observation.
struct WayShare {
    static constexpr map::WayIndex none = static_cast<map::WayIndex>(-1);
    map::WayIndex way = none;
    double probability = 0;
};

struct Solution {
    std::vector<Chosen> chosen;                ///< one an observation
    std::vector<std::vector<WayShare>> shares; ///< likeliest first; empty unless asked for
};

/// The likeliest chain (Viterbi) and, where asked for, the probability of each way at each observation
/// (forward-backward).
Solution solve(const Network& network, const std::vector<Observation>& line, const ErrorModel& model,
               bool with_shares);

/// The junctions passed on the shortest way between two places, leaving and arriving over the given ends.
std::vector<std::pair<JunctionIndex, EdgeIndex>> junctions_between(const Network& network, Reach& reach,
                                                                   const Place& a, const Chosen& b);

} // namespace waywarden::match
