#include "route/card_columns.hpp"

#include "route/card_values.hpp"

#include <algorithm>
#include <initializer_list>

namespace waywarden::route {

namespace {

/// The words of a title, lower case, each with a blank on both sides.
std::string words_of(std::string_view title) {
    std::string out = " ";
    for (const char c : lower(title)) {
        const bool letter = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '#' || (c & 0x80) != 0;
        if (letter)
            out += c;
        else if (c != '.' && c != '\'' && out.back() != ' ')
            out += ' ';
    }
    if (out.back() != ' ') out += ' ';
    return out;
}

bool says(const std::string& words, std::initializer_list<const char*> phrases) {
    return std::any_of(phrases.begin(), phrases.end(), [&](const char* phrase) {
        return words.find(" " + std::string(phrase) + " ") != std::string::npos;
    });
}

bool says_reference(const std::string& words) {
    return says(words, {"grid reference", "grid ref", "grid references", "gr", "ref", "reference", "gridref",
                        "grid", "map reference", "map ref", "6 figure"});
}

Column end_of(const std::string& words) {
    if (says(words, {"m", "km"})) return Column::unknown; // metres along a line, not a place
    const bool from = says(words, {"from", "start", "starting", "begin", "start point", "setting out from"});
    const bool to = says(words, {"to", "finish", "end", "destination", "next", "arriving at"});
    const bool reference = says_reference(words);
    if (from && !to) return reference ? Column::from_reference : Column::from;
    if (to && !from) return reference ? Column::to_reference : Column::to;
    return Column::unknown;
}

/// In this order: a title may hold words of several ("total time", "height climbed", "time at stops").
Column column_of(const std::string& words) {
    if (says(words, {"escape", "escapes", "alternative", "bad weather", "emergency", "bail out"}))
        return Column::escape;
    if (says(words, {"notes", "note", "remarks", "remark", "comments", "details", "detail", "terrain",
                     "description", "hazards", "features", "going"}))
        return Column::notes;
    if (says(words, {"running", "cumulative", "so far", "remaining", "accumulated"})) return Column::running;
    if (says(words, {"bearing", "bearings", "direction", "compass", "heading", "azimuth"}))
        return Column::direction;
    if (says(words, {"eta", "arrival", "arrive", "arrives", "arriving", "time of arrival", "arrival time"}))
        return Column::arrive;
    if (says(words, {"etd", "departure", "depart", "departs", "leave", "leaves", "start time", "setting out",
                     "time out", "starting time"}))
        return Column::depart;
    if (says(words, {"descent", "height loss", "height lost", "loss", "down", "descend", "drop"}))
        return Column::descent;
    if (says(words, {"climb", "climbed", "ascent", "height gain", "height gained", "gain", "ascend", "height",
                     "up", "climbing"}))
        return Column::ascent;
    if (says(words, {"rest", "rests", "stop", "stops", "break", "breaks", "meals", "lunch"}))
        return Column::rest;
    if (says(words, {"distance", "dist", "length"})) return Column::distance;
    const bool time = says(words, {"time", "duration", "minutes", "min", "mins", "hours", "h"});
    if (time && says(words, {"total", "leg", "overall", "whole", "all"})) return Column::total;
    if (time || says(words, {"travel", "journey", "walking", "walk", "moving"})) return Column::travel;
    if (const Column end = end_of(words); end != Column::unknown) return end;
    if (says_reference(words)) return Column::place_reference;
    if (says(words, {"leg", "no", "number", "stage", "#", "section", "leg no", "nr"})) return Column::leg;
    if (says(words, {"checkpoint", "place", "location", "point", "waypoint", "name"})) return Column::place;
    if (says(words, {"km", "kilometres", "miles", "metres"})) return Column::distance;
    if (says(words, {"total"})) return Column::total;
    return Column::unknown;
}

/// Only figures have a unit.
std::string unit_in(const std::string& words, Column column) {
    const bool length = column == Column::distance || column == Column::ascent || column == Column::descent;
    const bool time = column == Column::travel || column == Column::rest || column == Column::total;
    for (std::size_t at = 1; (length || time) && at < words.size();) {
        const std::size_t end = words.find(' ', at);
        const std::string word = words.substr(at, end - at);
        if (length ? metres_of(word).has_value() : minutes_of(word).has_value()) return word;
        at = end + 1;
    }
    return "";
}

bool names_an_end(Column column) {
    return column == Column::from || column == Column::from_reference || column == Column::to ||
           column == Column::to_reference || column == Column::place || column == Column::place_reference;
}

/// A reference belongs to the end named just before it, and a second of a kind to the other end.
void give_references_an_end(std::vector<ColumnHead>& columns) {
    const auto has = [&](Column column) {
        return std::any_of(columns.begin(), columns.end(),
                           [&](const ColumnHead& head) { return head.column == column; });
    };
    const bool legs =
        has(Column::from) || has(Column::to) || has(Column::from_reference) || has(Column::to_reference);
    Column last = Column::unknown;
    for (ColumnHead& head : columns) {
        if (head.column == Column::from || head.column == Column::to) last = head.column;
        if (head.column != Column::place_reference || !legs) continue;
        head.column = last == Column::from ? Column::from_reference : Column::to_reference;
    }
}

std::size_t known(const std::vector<ColumnHead>& columns) {
    return static_cast<std::size_t>(std::count_if(columns.begin(), columns.end(), [](const ColumnHead& head) {
        return head.column != Column::unknown;
    }));
}

std::vector<ColumnHead> titles_of(const TableRow& row) {
    std::vector<ColumnHead> out;
    for (const std::string& cell : row.cells)
        out.push_back(read_title(cell));
    return out;
}

/// The upper title reaches over the cells right of it that are empty.
TableRow grouped(const TableRow& upper, const TableRow& lower_row) {
    TableRow out = lower_row;
    std::string group;
    for (std::size_t i = 0; i < out.cells.size(); ++i) {
        const bool named = i < upper.cells.size() && !upper.cells[i].empty();
        if (named) group = upper.cells[i];
        if (out.cells[i].empty() && !named) continue;
        out.cells[i] = group.empty() ? out.cells[i] : group + " " + out.cells[i];
    }
    return out;
}

bool has_digit_cell(const TableRow& row) {
    return std::any_of(row.cells.begin(), row.cells.end(), [](const std::string& cell) {
        return !cell.empty() && cell[0] >= '0' && cell[0] <= '9';
    });
}

/// Whether the row needs no other above it to tell from where to where.
bool names_both_ends(const TableRow& row) {
    const std::vector<ColumnHead> columns = titles_of(row);
    return std::any_of(columns.begin(), columns.end(), [](const ColumnHead& head) {
        return head.column == Column::from || head.column == Column::to ||
               head.column == Column::from_reference || head.column == Column::to_reference;
    });
}

bool is_head(const std::vector<ColumnHead>& columns) {
    const bool end = std::any_of(columns.begin(), columns.end(),
                                 [](const ColumnHead& head) { return names_an_end(head.column); });
    return end && known(columns) >= 3;
}

} // namespace

ColumnHead read_title(std::string_view title) {
    ColumnHead head;
    head.title = title;
    if (title.empty()) return head;
    // "Time at 4 km/h": the pace is not the unit.
    const std::string words = words_of(title.substr(0, std::min(title.find('@'), title.find(" at "))));
    head.column = column_of(words);
    head.unit = unit_in(words, head.column);
    head.magnetic = head.column == Column::direction && says(words, {"magnetic", "mag"});
    return head;
}

bool TableHead::has(Column column) const {
    return std::any_of(columns.begin(), columns.end(),
                       [&](const ColumnHead& head) { return head.column == column; });
}

TableHead find_head(const std::vector<TableRow>& rows) {
    TableHead best;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        if (has_digit_cell(rows[i])) continue;
        std::vector<ColumnHead> alone = titles_of(rows[i]);
        const bool under = i + 1 < rows.size() && !has_digit_cell(rows[i + 1]);
        if (under) {
            std::vector<ColumnHead> both = titles_of(grouped(rows[i], rows[i + 1]));
            const std::size_t below = known(titles_of(rows[i + 1]));
            if (known(alone) >= 1 && below >= 2 && !names_both_ends(rows[i + 1]) &&
                known(both) > known(alone) && is_head(both)) {
                best = {i, 2, std::move(both)};
                break;
            }
        }
        if (!is_head(alone)) continue;
        best = {i, 1, std::move(alone)};
        break;
    }
    give_references_an_end(best.columns);
    return best;
}

} // namespace waywarden::route
