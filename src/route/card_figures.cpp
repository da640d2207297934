#include "route/card_rows.hpp"
#include "route/card_values.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace waywarden::route {

namespace {

/// The largest number of a column among cells that name no unit, and whether any has decimals.
struct Plain {
    double largest = -1;
    bool decimals = false;
    bool any() const { return largest >= 0; }
};

Plain plain_figures(const std::vector<RowText>& rows, Column column) {
    Plain out;
    for (const RowText& row : rows) {
        const auto quantity = read_quantity(row.at(column));
        if (!quantity || !quantity->unit.empty()) continue;
        out.largest = std::max(out.largest, quantity->value);
        out.decimals = out.decimals || quantity->decimals > 0;
    }
    return out;
}

constexpr double k_far_km = 60; ///< no day on foot is longer, and no leg shorter than this many metres

std::string distance_unit(const ColumnHead& head, std::size_t line, const Plain& plain, Card& card) {
    if (!plain.any()) return head.unit;
    if (head.unit == "m" && plain.largest <= k_far_km) {
        card.remarks.push_back(
            {line, fmt::format("the figures under \"{}\" are too small for metres, and may be "
                               "kilometres or miles: they are not read; write the unit",
                               head.title)});
        return "";
    }
    if (!head.unit.empty()) return head.unit;
    const std::string unit = plain.largest <= k_far_km ? "km" : "m";
    card.remarks.push_back(
        {line, fmt::format("\"{}\" names no unit; its figures are read as {}", head.title, unit)});
    return unit;
}

std::string time_unit(const ColumnHead& head, std::size_t line, const Plain& plain, Card& card) {
    if (!plain.any() || plain.largest == 0) return head.unit.empty() ? "min" : head.unit;
    if (!head.unit.empty()) return head.unit;
    const std::string unit = plain.decimals && plain.largest <= 12 ? "h" : "min";
    card.remarks.push_back({line, fmt::format("\"{}\" names no unit; its figures are read as {}", head.title,
                                              unit == "h" ? "hours" : "minutes")});
    return unit;
}

bool is_time(Column column) {
    return column == Column::travel || column == Column::rest || column == Column::total;
}

void not_understood(const RowText& row, const char* what, Column column, Card& card) {
    card.remarks.push_back(
        {row.line, fmt::format("the {} \"{}\" was not understood and is left out", what, row.at(column))});
}

/// Where people leave a cell without a figure they write this.
bool says_nothing(const std::string& text) {
    return text == "-" || text == "--" || text == "\xE2\x80\x93" || text == "\xE2\x80\x94" || text == "/" ||
           lower(text) == "n/a" || lower(text) == "none" || text == "?";
}

template <typename Read>
void read_cell(const RowText& row, Column column, const char* what, Card& card, Read&& read) {
    const std::string& text = row.at(column);
    if (text.empty() || says_nothing(text)) return;
    if (!read(text)) not_understood(row, what, column, card);
}

const std::string& unit_at(const FigureUnits& units, Column column) {
    static const std::string k_none;
    const auto found = units.unit.find(column);
    return found == units.unit.end() ? k_none : found->second;
}

void read_minutes_cell(const RowText& row, Column column, const FigureUnits& units, const char* what,
                       std::optional<double>& out, Card& card) {
    read_cell(row, column, what, card, [&](const std::string& text) {
        out = read_minutes(text, unit_at(units, column));
        return out.has_value();
    });
}

void read_height_cell(const RowText& row, Column column, const FigureUnits& units, const char* what,
                      std::optional<double>& out, Card& card) {
    read_cell(row, column, what, card, [&](const std::string& text) {
        const auto length = read_length(text, unit_at(units, column));
        if (length && length->metres <= 9000) out = length->metres;
        return out.has_value();
    });
}

void read_clock_cell(const RowText& row, Column column, const char* what,
                     std::optional<std::chrono::seconds>& out, Card& card) {
    read_cell(row, column, what, card, [&](const std::string& text) {
        out = read_clock(text);
        return out.has_value();
    });
}

} // namespace

FigureUnits units_of(const TableHead& head, const std::vector<RowText>& rows, Card& card) {
    FigureUnits out;
    const std::size_t line = rows.empty() ? 0 : rows.front().line - 1;
    for (const ColumnHead& column : head.columns) {
        const Plain plain = plain_figures(rows, column.column);
        if (column.column == Column::direction) out.magnetic = column.magnetic;
        if (out.unit.count(column.column) > 0) continue;
        if (column.column == Column::distance)
            out.unit[Column::distance] = distance_unit(column, line, plain, card);
        else if (column.column == Column::ascent || column.column == Column::descent)
            out.unit[column.column] = column.unit.empty() ? "m" : column.unit;
        else if (is_time(column.column))
            out.unit[column.column] = time_unit(column, line, plain, card);
    }
    return out;
}

void read_figures(const RowText& row, const FigureUnits& units, CardLeg& leg, Card& card) {
    leg.source_line = row.line;
    leg.label = row.at(Column::leg);
    leg.escape = row.at(Column::escape);
    leg.notes = row.at(Column::notes);
    leg.direction_text = row.at(Column::direction);
    read_cell(row, Column::direction, "direction", card, [&](const std::string& text) {
        const auto direction = read_direction(text);
        if (!direction) return false;
        leg.direction_deg = direction->degrees;
        leg.direction_step_deg = direction->step_deg;
        leg.direction_magnetic = direction->magnetic || (units.magnetic && !direction->grid);
        return true;
    });
    read_cell(row, Column::distance, "distance", card, [&](const std::string& text) {
        const auto length = read_length(text, unit_at(units, Column::distance));
        if (!length) return false;
        leg.distance_m = length->metres;
        leg.distance_step_m = length->step_m;
        return true;
    });
    read_height_cell(row, Column::ascent, units, "climb", leg.ascent_m, card);
    read_height_cell(row, Column::descent, units, "descent", leg.descent_m, card);
    read_minutes_cell(row, Column::travel, units, "travel time", leg.travel_min, card);
    read_minutes_cell(row, Column::rest, units, "rest", leg.rest_min, card);
    read_minutes_cell(row, Column::total, units, "time of the leg", leg.total_min, card);
    read_clock_cell(row, Column::depart, "time of leaving", leg.depart, card);
    read_clock_cell(row, Column::arrive, "time of arrival", leg.arrive, card);
}

void read_totals(const RowText& row, const FigureUnits& units, Card& card) {
    CardLeg sums;
    read_figures(row, units, sums, card);
    card.total_line = row.line;
    card.total_distance_m = sums.distance_m;
    card.total_distance_step_m = sums.distance_step_m;
    card.total_ascent_m = sums.ascent_m;
    card.total_travel_min = sums.travel_min;
    card.total_rest_min = sums.rest_min;
    card.total_min = sums.total_min;
}

} // namespace waywarden::route
