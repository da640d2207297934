#pragma once

#include "match/lattice.hpp"

#include <array>

/// What the solver keeps of each observation: between the chain and the shares.
namespace waywarden::match {

/// Candidates of one observation, those of one edge in a row.
struct Group {
    EdgeIndex edge;
    std::size_t begin, end;
};

struct Back {
    std::int32_t from = -1; ///< candidate of the layer before; its size stands for open ground
    std::uint8_t from_heading = 0;
    Move move = Move::start;
    bool leaves_by_to = false, arrives_by_to = false;
    float walked_m = 0;
};

/// Heading 0 walks towards the `to` end of the edge, 1 towards `from`.
using ByHeading = std::array<double, 2>;

struct Arc {
    std::uint32_t to, from; ///< candidates; the layer's size stands for open ground
    std::uint8_t to_heading, from_heading;
    float weight;
};

struct Layer {
    std::vector<Candidate> candidates;
    std::vector<Group> groups;
    std::vector<ByHeading> score; ///< one more than candidates: the last is open ground (heading 0)
    std::vector<std::array<Back, 2>> back;
    std::vector<Arc> arcs;
    double turn_round = 0; ///< what turning round here costs
    std::size_t off() const { return candidates.size(); }
};

/// The probability of each way at each observation, by summing over the arcs kept (forward-backward).
void find_shares(const Network& network, const std::vector<Layer>& layers, Solution& solution);

} // namespace waywarden::match
