#pragma once

#include "map/read.hpp"
#include "match/between.hpp"
#include "route/card_read.hpp"
#include "rules/finding.hpp"

#include <string>
#include <vector>

/// A route card given instead of a line: the walk that is judged for it, and the worst of the others.
namespace waywarden {

using route::is_card_file;

/// The walks of a card.
struct CardWalk {
    route::Route likeliest;
    /// The whole walk again, each time with other ways in some of its legs. A leg that does not begin where
    /// the one before it ended begins a new segment.
    std::vector<route::Route> variants;

    /// Where a leg of the card is on each line.
    struct Leg {
        double from_m = 0, to_m = 0; ///< along `likeliest`
        struct Other {
            bool given = false;          ///< whether the variant goes another way in this leg
            double from_m = 0, to_m = 0; ///< along the variant
            std::string words;           ///< "from Ox Hill to the Forge by South Shore (130 m longer)"
        };
        std::vector<Other> others; ///< one a variant
    };
    std::vector<Leg> legs;
    std::string not_seen; ///< what the reader must know of how the line came about
};

/// The part of the map in which the walk is looked for.
map::Corridor card_corridor(const match::CardPlan& plan);

/// Looks for it. Throws DataError where the card names no two places.
CardWalk walk_card(const route::Card& card, const map::Ground& ground);

/// Adds to the findings of the likeliest walk what other ways would add (`found`, one list a variant): those
/// of level error or warning in a leg that goes another way, of a rule that the likeliest does not break
/// there at that level. Each says in words which way it is for, and stands over its leg.
void add_worse(const CardWalk& walk, const std::vector<std::vector<rules::Finding>>& found,
               std::vector<rules::Finding>& findings);

} // namespace waywarden
