#pragma once

#include "route/card.hpp"
#include "route/card_columns.hpp"
#include "route/card_head.hpp"
#include "route/card_table.hpp"

#include <map>
#include <optional>
#include <string>
#include <vector>

/// The rows below the titles: legs, and the row that sums them up.
namespace waywarden::route {

/// One row by the meaning of its cells; cells of columns not known are left out.
struct RowText {
    std::size_t line = 0;
    std::map<Column, std::string> cells; ///< never ""
    const std::string& at(Column column) const;
    bool has(Column column) const { return !at(column).empty(); }
};

/// The units of the columns that hold figures: as their titles say, or as the figures leave no doubt.
struct FigureUnits {
    std::map<Column, std::string> unit; ///< "" where it cannot be told: cells without their own are not read
    bool magnetic = false;              ///< the direction column says so
};
FigureUnits units_of(const TableHead& head, const std::vector<RowText>& rows, Card& card);

/// Fills the figures of a leg from a row.
void read_figures(const RowText& row, const FigureUnits& units, CardLeg& leg, Card& card);

/// Fills the sums of the card from the row that sums up.
void read_totals(const RowText& row, const FigureUnits& units, Card& card);

/// The ends that a row names. Squares are found for all rows at once, because a reference without letters
/// takes them from the head of the card or from the nearest reference that has them.
struct RowPlaces {
    CardPlace from, to, place;
};
std::vector<RowPlaces> read_places(const std::vector<RowText>& rows, const TableHead& head,
                                   const HeadEntries& entries, std::optional<geo::GridSystem> grid,
                                   Card& card);

/// Fills legs, totals, grid and remarks of the card.
void read_rows(const std::vector<TableRow>& rows, const TableHead& head, const HeadEntries& entries,
               std::optional<geo::GridSystem> grid, Card& card);

} // namespace waywarden::route
