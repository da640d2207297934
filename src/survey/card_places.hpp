#pragma once

#include "map/ground.hpp"
#include "route/card.hpp"
#include "route/route.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

/// Where the references of a route card lie on the drawn line, and what is wrong with those that do not.
namespace waywarden::survey {

enum class ReferenceFault {
    none,
    not_given,
    not_readable,
    off_line,     ///< not on the line, and no common slip would put it there
    out_of_order, ///< on the line, but not between its neighbours
    swapped,      ///< with easting and northing exchanged it would be on the line
    transposed,   ///< with two neighbouring digits exchanged it would
    wrong_square, ///< with the letters of another 100 km square it would
    in_sea,       ///< off the line and in the sea
};
const char* to_string(ReferenceFault fault);

/// One place of the card in order of the walk: an end that two legs share is one.
struct CardEnd {
    route::CardPlace place;
    ReferenceFault fault = ReferenceFault::none;
    double at_m = 0;             ///< along the line
    bool placed = false;         ///< false: at_m was only put between its neighbours
    geo::Position position;      ///< what the legs are reckoned from: as the reference says, or as was meant
    std::optional<double> off_m; ///< from the square to the nearest place of the line, where it is off it
    std::string meant;           ///< the reference that would be on the line; "" where there is none
    std::size_t source_line = 0;
};

/// The card's places on the line. Leg i of the card goes from ends[from[i]] to ends[to[i]].
struct CardPlaces {
    std::vector<CardEnd> ends;
    std::vector<std::size_t> from, to;
};

/// Finds them. A reference is on the line where its middle is no more than 0.71 of its square's side and 100
/// m off: the square's half diagonal, and what plotting a point by eye is good for (common practice). Of
/// several passes of the line, and of several slips that would do, those are taken that fit the order of
/// the card and the distances on it best. `ground` tells the sea.
CardPlaces card_places(const route::Card& card, const route::Route& route, const map::Ground& ground);

} // namespace waywarden::survey
