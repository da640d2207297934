#include "route/card_references.hpp"
#include "route/card_rows.hpp"
#include "route/card_values.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace waywarden::route {

namespace {

/// A reference on the card, in reading order, and the place it belongs to.
struct Seen {
    CardPlace* place = nullptr;
    FoundReference found;
    std::size_t line = 0;
};

void read_place(const std::string& name, const std::string& reference, std::size_t line, CardPlace& place,
                std::vector<Seen>& seen) {
    place.name = name;
    std::optional<FoundReference> found;
    if (!reference.empty()) {
        found = find_reference(reference, true);
        if (!found && name.empty()) place.name = reference; // a name under "Grid reference"
    } else if (!name.empty()) {
        found = find_reference(name, false);
        if (found) place.name = found->rest;
    }
    if (!found) return;
    if (!reference.empty() && name.empty()) place.name = found->rest;
    place.reference = found->written;
    seen.push_back({&place, *found, line});
}

/// The letters of the reference nearest in reading order; the earlier of two as near.
std::string nearest_letters(const std::vector<Seen>& seen, std::size_t index) {
    for (std::size_t away = 1; away < seen.size(); ++away) {
        if (away <= index && !seen[index - away].found.letters.empty())
            return seen[index - away].found.letters;
        if (index + away < seen.size() && !seen[index + away].found.letters.empty())
            return seen[index + away].found.letters;
    }
    return "";
}

struct Assumed {
    std::map<std::string, std::vector<std::size_t>> lines_by_letters;
    void add(const std::string& letters, std::size_t line) {
        auto& lines = lines_by_letters[letters];
        if (lines.empty() || lines.back() != line) lines.push_back(line);
    }
};

void tell_assumed(const Assumed& assumed, const HeadEntries& entries, Card& card) {
    for (const auto& [letters, lines] : assumed.lines_by_letters)
        card.remarks.push_back(
            {lines.front(), fmt::format("references without letters ({} {}) are read in the square {}, {}",
                                        lines.size() == 1 ? "line" : "lines", fmt::join(lines, ", "), letters,
                                        entries.letters.empty() ? "that of the nearest reference with letters"
                                                                : "as the head of the card says")});
}

void tell_unreadable(const Seen& seen, const std::string& letters, Card& card) {
    const auto& found = seen.found;
    std::string why;
    if (!found.halved && found.letters.empty() && found.digits.size() == 5)
        why = "has five figures, and a spreadsheet may have taken a zero from its front";
    else if (!found.halved)
        why = "does not fall into an easting and a northing of as many figures";
    else if (letters.empty())
        why = "has no letters of its 100 km square, and no other reference has any";
    else
        why = "names no square of this grid";
    card.remarks.push_back(
        {seen.line, fmt::format("the grid reference \"{}\" {}: it cannot be placed; write it like "
                                "\"OM 606 091\"",
                                found.written, why)});
}

void settle(std::vector<Seen>& seen, const HeadEntries& entries, Card& card) {
    Assumed assumed;
    for (std::size_t i = 0; i < seen.size(); ++i) {
        const FoundReference& found = seen[i].found;
        CardPlace& place = *seen[i].place;
        std::string letters = found.letters;
        if (letters.empty()) letters = entries.letters.empty() ? nearest_letters(seen, i) : entries.letters;
        if (found.halved) place.square = square_of(letters, found.digits, card.grid);
        if (!place.square) {
            tell_unreadable(seen[i], letters, card);
            continue;
        }
        place.figures = static_cast<int>(found.digits.size());
        place.letters_assumed = found.letters.empty();
        if (place.letters_assumed) assumed.add(letters, seen[i].line);
    }
    tell_assumed(assumed, entries, card);
}

} // namespace

std::vector<RowPlaces> read_places(const std::vector<RowText>& rows, const TableHead&,
                                   const HeadEntries& entries, std::optional<geo::GridSystem> grid,
                                   Card& card) {
    std::vector<RowPlaces> out(rows.size());
    std::vector<Seen> seen;
    if (!entries.start_text.empty()) read_place(entries.start_text, "", entries.start_line, card.start, seen);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const RowText& row = rows[i];
        read_place(row.at(Column::from), row.at(Column::from_reference), row.line, out[i].from, seen);
        read_place(row.at(Column::to), row.at(Column::to_reference), row.line, out[i].to, seen);
        read_place(row.at(Column::place), row.at(Column::place_reference), row.line, out[i].place, seen);
    }
    std::vector<std::string> letters;
    if (!entries.letters.empty()) letters.push_back(entries.letters);
    for (const Seen& reference : seen)
        if (!reference.found.letters.empty()) letters.push_back(reference.found.letters);
    card.grid = grid ? *grid : grid_of_letters(letters);
    settle(seen, entries, card);
    return out;
}

} // namespace waywarden::route
