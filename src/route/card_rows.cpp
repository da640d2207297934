#include "route/card_rows.hpp"

#include "route/card_values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <initializer_list>

namespace waywarden::route {

namespace {

RowText row_text(const TableRow& row, const TableHead& head) {
    RowText out;
    out.line = row.line;
    for (std::size_t i = 0; i < std::min(row.cells.size(), head.columns.size()); ++i) {
        if (row.cells[i].empty() || head.columns[i].column == Column::unknown) continue;
        std::string& cell = out.cells[head.columns[i].column];
        cell = cell.empty() ? row.cells[i] : cell + "; " + row.cells[i];
    }
    return out;
}

bool has_any(const RowText& row, std::initializer_list<Column> columns) {
    return std::any_of(columns.begin(), columns.end(), [&](Column column) { return row.has(column); });
}

bool names_places(const RowText& row) {
    return has_any(row, {Column::from, Column::from_reference, Column::to, Column::to_reference,
                         Column::place, Column::place_reference});
}

bool has_figures(const RowText& row) {
    return has_any(row, {Column::direction, Column::distance, Column::ascent, Column::descent, Column::travel,
                         Column::total});
}

bool says_total(const TableRow& row) {
    return std::any_of(row.cells.begin(), row.cells.end(), [](const std::string& cell) {
        const std::string word = lower(cell).substr(0, 5);
        return word == "total" || word == "sum" || word == "sums";
    });
}

bool empty(const CardPlace& place) {
    return place.name.empty() && place.reference.empty();
}

/// How the table tells its legs.
enum class Layout {
    legs,     ///< from and to in each row
    arriving, ///< a checkpoint a row, with the figures of the leg that ends there
    leaving   ///< a checkpoint a row, with the figures of the leg that begins there
};

/// A table of checkpoints tells by its empty figures which: the start has none or the finish has none.
Layout layout_of(const TableHead& head, const std::vector<RowText>& rows, Card& card) {
    const bool from = head.has(Column::from) || head.has(Column::from_reference);
    const bool to = head.has(Column::to) || head.has(Column::to_reference);
    if (from && to) return Layout::legs;
    if (to) return Layout::arriving;
    if (from) return Layout::leaving;
    const bool first = !rows.empty() && has_figures(rows.front());
    const bool last = !rows.empty() && has_figures(rows.back());
    if (first && !last) return Layout::leaving;
    if (first == last && !rows.empty())
        card.remarks.push_back({rows.front().line,
                                "the table names one place a row and does not show which leg a "
                                "row's figures belong to; they are read as of the leg that ends "
                                "there"});
    return Layout::arriving;
}

/// The place of a row in a table of checkpoints.
const CardPlace& single(const RowPlaces& places) {
    if (!empty(places.place)) return places.place;
    return empty(places.to) ? places.from : places.to;
}

void read_leg_rows(const std::vector<RowText>& rows, const std::vector<RowPlaces>& places,
                   const FigureUnits& units, Card& card) {
    CardPlace last = card.start;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        CardLeg leg;
        leg.from = empty(places[i].from) ? last : places[i].from;
        leg.to = places[i].to;
        if (empty(leg.to) || empty(leg.from)) {
            card.remarks.push_back(
                {rows[i].line, fmt::format("this row does not say where the leg {}; it is left out",
                                           empty(leg.to) ? "ends" : "begins")});
            if (!empty(leg.to)) last = leg.to;
            continue;
        }
        read_figures(rows[i], units, leg, card);
        last = leg.to;
        card.legs.push_back(std::move(leg));
    }
}

void read_checkpoint_rows(const std::vector<RowText>& rows, const std::vector<RowPlaces>& places,
                          Layout layout, const FigureUnits& units, Card& card) {
    CardPlace last = card.start;
    const bool start_in_head = !empty(last) && layout == Layout::arriving;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const CardPlace& here = single(places[i]);
        if (i > 0 || (start_in_head && has_figures(rows[i]))) {
            CardLeg leg;
            leg.from = last;
            leg.to = here;
            read_figures(layout == Layout::arriving ? rows[i] : rows[i - 1], units, leg, card);
            if (layout == Layout::leaving) leg.arrive = read_clock(rows[i].at(Column::arrive));
            card.legs.push_back(std::move(leg));
        } else if (has_figures(rows[i]) && layout == Layout::arriving) {
            card.remarks.push_back(
                {rows[i].line, "nothing says where the first leg begins: its figures are left out"});
        }
        last = here;
    }
}

void tell_columns(const TableHead& head, std::size_t line, Card& card) {
    for (const ColumnHead& column : head.columns)
        if (!column.title.empty() && (column.column == Column::unknown || column.column == Column::running))
            card.remarks.push_back({line, fmt::format("the column \"{}\" is not read", column.title)});
}

} // namespace

const std::string& RowText::at(Column column) const {
    static const std::string k_empty;
    const auto found = cells.find(column);
    return found == cells.end() ? k_empty : found->second;
}

void read_rows(const std::vector<TableRow>& rows, const TableHead& head, const HeadEntries& entries,
               std::optional<geo::GridSystem> grid, Card& card) {
    tell_columns(head, rows[head.first].line, card);
    std::vector<RowText> legs;
    std::optional<RowText> totals;
    for (std::size_t i = head.first + head.rows; i < rows.size(); ++i) {
        if (rows[i].empty()) continue;
        RowText row = row_text(rows[i], head);
        if ((says_total(rows[i]) || (!names_places(row) && i > head.first + head.rows)) && has_figures(row)) {
            if (totals)
                card.remarks.push_back({row.line, "a second row of totals is left out"});
            else
                totals = std::move(row);
        } else if (names_places(row)) {
            legs.push_back(std::move(row));
        } else {
            card.remarks.push_back({rows[i].line, "this row names no place and is left out"});
        }
    }
    const FigureUnits units = units_of(head, legs, card);
    const std::vector<RowPlaces> places = read_places(legs, head, entries, grid, card);
    const Layout layout = layout_of(head, legs, card);
    if (layout == Layout::legs)
        read_leg_rows(legs, places, units, card);
    else
        read_checkpoint_rows(legs, places, layout, units, card);
    if (totals) read_totals(*totals, units, card);
}

} // namespace waywarden::route
