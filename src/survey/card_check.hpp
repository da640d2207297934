#pragma once

#include "map/ground.hpp"
#include "route/card.hpp"
#include "route/route.hpp"
#include "survey/card_places.hpp"
#include "survey/leg_figures.hpp"
#include "survey/survey.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

/// A route card held against the walk. What counts as off is for rules to say (rules/sets/route-card.json);
/// here are the differences, less what writing, plotting and measuring with a string are good for.
namespace waywarden::survey {

/// A card with what was found out about it.
struct CheckedCard {
    route::Card card;
    CardPlaces places;
    /// By leg of the card: the index of the same leg in Survey::legs; none where both its ends are one place
    /// of the line.
    std::vector<std::optional<std::size_t>> table_leg;
};

/// Parts the walk by the card: replaces survey.legs, sets facts of its legs and of the route (names begin
/// with `card_`), and says in survey.not_seen what of the card could not be held against anything.
CheckedCard check_card(route::Card card, const route::Route& route, const map::Ground& ground,
                       const LegBasis& basis, Survey& survey);

/// "OM 606 091" of a place as this program writes it; "" where it cannot be read.
std::string reference_of(const route::CardPlace& place, geo::GridSystem grid);

/// "Wendrith Bridge (OM 606 091)", with the reference as written.
std::string place_words(const route::CardPlace& place);

} // namespace waywarden::survey
