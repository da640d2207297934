#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

/// The bytes of a CSV as spreadsheets write it, cut into cells. RFC 4180, with what spreadsheets add to it:
/// semicolons or tabs for commas, a first line `sep=;`, other encodings, any line end.
namespace waywarden::route {

struct TableRow {
    std::size_t line = 0;           ///< in the file, from 1, where the row begins
    std::vector<std::string> cells; ///< UTF-8, one line each, without blanks at the ends
    bool empty() const;
};

/// The text as UTF-8: by its byte order mark, UTF-16 without one told by its zero bytes, otherwise UTF-8
/// where it is valid and windows-1252 where it is not.
std::string sheet_to_utf8(std::string_view bytes);

/// Cuts the text at `separator`. A quoted cell may hold separators, line ends and doubled quotes; a quote
/// that is never closed ends with its line. Rows without any text are kept, so that tables can end at them.
std::vector<TableRow> cut_table(std::string_view utf8, char separator);

/// `;`, `,` or tab: what `sep=` says, else the one that gives most rows the same number of cells.
char separator_of(std::string_view utf8);

} // namespace waywarden::route
