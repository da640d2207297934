#include "report/card_rows.hpp"
#include "report/paper.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace waywarden::report {

namespace {

/// Columns as wide as their widest cell.
std::vector<std::size_t> widths_of(const std::vector<CardRow>& rows) {
    std::vector<std::size_t> out;
    for (const CardCell& cell : rows.front().cells)
        out.push_back(columns(cell.what));
    for (const CardRow& row : rows)
        for (std::size_t i = 0; i < out.size(); ++i)
            out[i] = std::max({out[i], columns(row.cells[i].card) + 1, columns(row.cells[i].walk)});
    return out;
}

template <typename Get>
std::string line_of(const char* who, const CardRow& row, const std::vector<std::size_t>& widths, Get&& get) {
    std::string out = padded(fmt::format("     {}", who), 10);
    for (std::size_t i = 0; i < widths.size(); ++i)
        out += "  " + padded(plain(get(row.cells[i])), widths[i]);
    out.erase(out.find_last_not_of(' ') + 1);
    return out;
}

} // namespace

void write_card(const Assessed& route, Paper& paper) {
    const std::vector<CardRow> rows = card_rows(route);
    if (rows.empty()) return;
    paper.gap();
    paper.line(Ink::strong, "",
               fmt::format("The card as handed in ({}), and as the walk is", route.card->card.path));
    const auto widths = widths_of(rows);
    paper.table_line(line_of("", rows.front(), widths, [](const CardCell& cell) { return cell.what; }));
    for (const CardRow& row : rows) {
        paper.line(Ink::strong, " ", fmt::format("{} (line {})", row.title, row.line));
        paper.table_line(line_of("card", row, widths,
                                 [](const CardCell& cell) { return cell.card + (cell.differs ? "*" : ""); }));
        paper.table_line(line_of("walk", row, widths, [](const CardCell& cell) { return cell.walk; }));
    }
    paper.line(Ink::faint, "  - ",
               "* is objected to above. Bearings are of the straight line from end to end, from grid north.");
    for (const std::string& one : card_notes(route))
        paper.line(Ink::faint, "  - ", one);
}

} // namespace waywarden::report
