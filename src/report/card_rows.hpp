#pragma once

#include "assess.hpp"

#include <string>
#include <vector>

/// The card as handed in beside the card as the walk has it.
namespace waywarden::report {

/// One figure of a leg, twice.
struct CardCell {
    std::string what;     ///< "from", "to", "bearing", "km", "up, m", "walking", "there"
    std::string card;     ///< as handed in; "–" where the card leaves it out
    std::string walk;     ///< as reckoned; "–" where it is not known
    bool differs = false; ///< a finding says so
};

struct CardRow {
    std::string title; ///< "1. Saltholm Green to Wendrith Bridge"
    std::size_t line = 0;
    std::vector<CardCell> cells; ///< the same for every row, in the same order
};

/// A row a leg of the card; none where there is no card.
std::vector<CardRow> card_rows(const Assessed& route);

/// The card's remarks and sums, one sentence each.
std::vector<std::string> card_notes(const Assessed& route);

} // namespace waywarden::report
