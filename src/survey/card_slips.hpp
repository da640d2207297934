#pragma once

#include "geo/grid_reference.hpp"
#include "route/card.hpp"
#include "survey/card_places.hpp"

#include <string>
#include <vector>

/// What a wrong grid reference may have been meant to be.
namespace waywarden::survey {

struct Slip {
    ReferenceFault fault = ReferenceFault::none;
    std::string reference; ///< as it would have to be written
    geo::GridSquare square;
};

/// The references that a common slip of the pen turns into the one on the card: easting and northing
/// exchanged, two digits beside each other exchanged, other letters of the 100 km square. `letters` are those
/// of the squares that the line runs through. The common slips of route cards: common practice, no source.
std::vector<Slip> slips_of(const route::CardPlace& place, geo::GridSystem grid,
                           const std::vector<std::string>& letters);

/// Letters of the 100 km square of a place, with the zone on UTM: "OM", "30U XC".
std::string square_letters(geo::Position position, geo::GridSystem grid);

} // namespace waywarden::survey
