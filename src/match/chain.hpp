#pragma once

#include "match/between.hpp"
#include "match/in_square.hpp"
#include "match/other_ways.hpp"

#include <optional>
#include <vector>

/// The likeliest walk over all squares of a card at once.
namespace waywarden::match {

/// A checkpoint that has a square.
struct Station {
    std::size_t checkpoint = 0; ///< index in the plan
    SquareOnPlane square;
    std::vector<Spot> spots; ///< empty: no way within a kilometre; then the walk goes over its middle

    geo::Metres2 at(std::size_t spot) const;     ///< where the checkpoint is taken to be
    geo::Metres2 on_way(std::size_t spot) const; ///< where the ways are left or joined for it
};

/// From one station to the next; indices are of their spots.
struct ChainLeg {
    std::size_t from = 0, to = 0;
    std::optional<Walked> walk;  ///< none: a straight line
    std::optional<Walked> round; ///< where straight: the walk along ways that was thought too long
};

struct ChainGround {
    const Network& network;
    const std::vector<Effort>& efforts;
    Cheapest& cheapest;
};

/// Every station gets the spot, and every leg the walk, that together cost the least effort; a leg whose
/// given length (none: not given) fits another walk better gets that. `stations` two or more.
std::vector<ChainLeg> likeliest_chain(const ChainGround& on, const std::vector<Station>& stations,
                                      const std::vector<LegGiven>& given);

/// The spots of a station as ends of a search, with what speaks against each in metres of effort.
std::vector<Terminal> terminals_of(const Station& station);

} // namespace waywarden::match
