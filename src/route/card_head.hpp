#pragma once

#include "route/card.hpp"
#include "route/card_columns.hpp"
#include "route/card_table.hpp"

#include <cstddef>
#include <string>
#include <vector>

/// What stands above the table of a card: `Team;Fulmar`, `Date;2027-05-15`, `Start time;09:30`.
namespace waywarden::route {

/// What the head says that the legs need.
struct HeadEntries {
    std::string letters;    ///< of the 100 km square for references without, upper case
    std::string start_text; ///< where the walk starts, with its reference, as written
    std::size_t start_line = 0, letters_line = 0;
};

/// Reads the rows above the table (and `Key: value` in one cell) into team, day and date of the card.
HeadEntries read_head(const std::vector<TableRow>& rows, const TableHead& table, Card& card);

} // namespace waywarden::route
