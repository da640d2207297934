#include "route/card_head.hpp"

#include "route/card_references.hpp"
#include "route/card_values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

namespace waywarden::route {

namespace {

struct Entry {
    std::string key, value;
    std::size_t line = 0;
};

/// Pairs of cells, and `Key: value` in one cell.
std::vector<Entry> entries_of(const TableRow& row) {
    std::vector<Entry> out;
    for (std::size_t i = 0; i < row.cells.size(); ++i) {
        const std::string& cell = row.cells[i];
        const std::size_t colon = cell.find(':');
        if (colon != std::string::npos && colon > 0 &&
            cell.find_first_not_of(' ', colon + 1) != std::string::npos &&
            !(cell[colon - 1] >= '0' && cell[colon - 1] <= '9')) {
            out.push_back({lower(cell.substr(0, colon)), cell.substr(cell.find_first_not_of(' ', colon + 1)),
                           row.line});
        } else if (!cell.empty() && i + 1 < row.cells.size() && !row.cells[i + 1].empty()) {
            std::string key = lower(cell);
            while (!key.empty() && (key.back() == ':' || key.back() == ' '))
                key.pop_back();
            out.push_back({key, row.cells[i + 1], row.line});
            ++i;
        }
    }
    return out;
}

bool is_key(const std::string& key, std::initializer_list<const char*> keys) {
    return std::any_of(keys.begin(), keys.end(), [&](const char* other) { return key == other; });
}

struct Start {
    std::optional<std::string> date;
    std::optional<std::chrono::seconds> clock;
};

void read_date_entry(const Entry& entry, Start& start, Card& card) {
    const auto date = read_date(entry.value);
    if (!date || !geo::read_time(date->iso)) {
        card.remarks.push_back(
            {entry.line, fmt::format("the date \"{}\" was not understood and is left out; write it "
                                     "as 2027-05-15",
                                     entry.value)});
        return;
    }
    if (date->day_first)
        card.remarks.push_back({entry.line, fmt::format("the date \"{}\" was read with the day first, as {}",
                                                        entry.value, date->iso)});
    start.date = date->iso;
}

void read_entry(const Entry& entry, Card& card, HeadEntries& out, Start& start) {
    const std::string& key = entry.key;
    if (is_key(key, {"team", "team name", "group", "group name", "party", "name of team"})) {
        card.team = entry.value;
    } else if (is_key(key, {"day", "day of venture", "day number", "day no", "stage"})) {
        card.day = entry.value;
    } else if (is_key(key, {"date", "day and date", "date of walk"})) {
        read_date_entry(entry, start, card);
    } else if (is_key(key,
                      {"square", "grid square", "100 km square", "grid letters", "letters", "map square"})) {
        const bool sane = entry.value.size() <= 6;
        if (sane) out.letters = entry.value;
        std::transform(out.letters.begin(), out.letters.end(), out.letters.begin(),
                       [](char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c; });
        out.letters.erase(std::remove(out.letters.begin(), out.letters.end(), ' '), out.letters.end());
        out.letters_line = entry.line;
    } else if (is_key(key, {"start time", "start", "setting out", "time out", "departure", "depart",
                            "starting time", "setting out time", "start at", "start point", "starting point",
                            "from"})) {
        if (const auto clock = read_clock(entry.value)) {
            start.clock = clock;
        } else {
            out.start_text = entry.value;
            out.start_line = entry.line;
        }
    }
    // Leader, phone, map sheet and the like are for people.
}

} // namespace

HeadEntries read_head(const std::vector<TableRow>& rows, const TableHead& table, Card& card) {
    HeadEntries out;
    Start start;
    for (std::size_t i = 0; i < table.first; ++i)
        for (const Entry& entry : entries_of(rows[i]))
            read_entry(entry, card, out, start);
    if (start.date) {
        card.date_start = geo::read_time(*start.date);
        if (card.date_start && start.clock) {
            card.date_start->at += *start.clock;
            card.date_start->has_clock = true;
        }
    }
    card.start_clock = start.clock;
    return out;
}

} // namespace waywarden::route
