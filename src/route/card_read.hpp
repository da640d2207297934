#pragma once

#include "geo/grid_reference.hpp"
#include "route/card.hpp"

#include <optional>
#include <string>
#include <string_view>

/// Route cards from a spreadsheet's CSV, as docs/route-cards.md describes them.
namespace waywarden::route {

/// Reads a card. `grid` is the grid its references are on; without one it is told from their letters (two:
/// British, one: Irish, zone number: UTM). What is not understood becomes a remark. Throws DataError with the
/// file, the line, what is wrong and what to do where there is no table or no leg in it.
Card read_card_file(const std::string& path, std::optional<geo::GridSystem> grid = std::nullopt);

/// The same from memory; `path` is only used in messages.
Card read_card(std::string_view bytes, const std::string& path,
               std::optional<geo::GridSystem> grid = std::nullopt);

/// Whether a file is taken for a card by its name: .csv or .tsv.
bool is_card_file(const std::string& path);

/// Whether a file holds a table that this can read as a card; false for one that cannot be opened.
bool looks_like_card(const std::string& path);

} // namespace waywarden::route
