#include "route/card_read.hpp"

#include "error.hpp"
#include "route/card_columns.hpp"
#include "route/card_head.hpp"
#include "route/card_rows.hpp"
#include "route/card_table.hpp"
#include "route/card_values.hpp"
#include "route/text.hpp"

#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>

namespace waywarden::route {

namespace {

constexpr std::uintmax_t k_largest_bytes = 4u << 20; ///< a card is a page
constexpr std::size_t k_most_legs = 300;             ///< finding their places takes time by the square

const char* const k_template = "lay it out as docs/route-card-template.csv shows";

void refuse_other_files(std::string_view bytes, const std::string& path) {
    if (bytes.substr(0, 2) == "PK" || bytes.substr(0, 4) == "\xD0\xCF\x11\xE0")
        refuse({path, 0}, "is a spreadsheet's own file, not CSV", "save the card as CSV");
    if (bytes.substr(0, 5) == "%PDF-") refuse({path, 0}, "is a PDF, not CSV", "save the card as CSV");
    const std::size_t first = bytes.find_first_not_of(" \t\r\n");
    if (first != std::string_view::npos && bytes[first] == '<')
        refuse({path, 1}, "is no route card but XML or a page", "save the card as CSV");
}

} // namespace

Card read_card(std::string_view bytes, const std::string& path, std::optional<geo::GridSystem> grid) {
    refuse_other_files(bytes, path);
    const std::string text = sheet_to_utf8(bytes);
    if (text.find_first_not_of(" \t\n,;") == std::string::npos)
        refuse({path, 0}, "is empty", "save the card as CSV again");
    if (const std::size_t zero = text.find('\0'); zero != std::string::npos)
        refuse({path, Lines(text).line_of(zero)}, "holds a zero byte: the file is damaged",
               "save the card as CSV again");
    const std::vector<TableRow> rows = cut_table(text, separator_of(text));
    if (rows.empty()) refuse({path, 0}, "has no row", "save the card as CSV again"); // but for `sep=`
    const TableHead head = find_head(rows);
    if (!head.found())
        refuse({path, rows.front().line}, "no table of legs: no row has titles such as From, To, Distance",
               k_template);
    Card card;
    card.path = path;
    const HeadEntries entries = read_head(rows, head, card);
    read_rows(rows, head, entries, grid, card);
    if (card.legs.empty())
        refuse({path, rows[head.first].line}, "no leg below these titles says from where to where",
               k_template);
    if (card.legs.size() > k_most_legs)
        refuse({path, card.legs[k_most_legs].source_line}, "holds more than 300 legs",
               "a card is of one day; hand in a card a day");
    return card;
}

Card read_card_file(const std::string& path, std::optional<geo::GridSystem> grid) {
    if (path == "-") {
        std::ostringstream all;
        all << std::cin.rdbuf();
        return read_card(all.str(), path, grid);
    }
    std::error_code error;
    const auto status = std::filesystem::status(path, error);
    if (!std::filesystem::exists(status)) refuse({path, 0}, "no such file", "check the path");
    if (std::filesystem::is_directory(status))
        refuse({path, 0}, "is a folder, not a card", "name a CSV file in it");
    if (std::filesystem::is_regular_file(status) && std::filesystem::file_size(path, error) > k_largest_bytes)
        refuse({path, 0}, "is larger than 4 MiB", "this is no route card");
    std::ifstream in(path, std::ios::binary);
    if (!in) refuse({path, 0}, "cannot be opened", "check the permissions");
    std::ostringstream all;
    all << in.rdbuf();
    return read_card(all.str(), path, grid);
}

bool is_card_file(const std::string& path) {
    const std::string ending = lower(std::filesystem::path(path).extension().string());
    return ending == ".csv" || ending == ".tsv";
}

bool looks_like_card(const std::string& path) {
    try {
        read_card_file(path);
        return true;
    } catch (const DataError&) {
        return false;
    }
}

} // namespace waywarden::route
