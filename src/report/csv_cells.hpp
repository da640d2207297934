#pragma once

#include <iosfwd>
#include <string>
#include <string_view>
#include <vector>

/// Tables as RFC 4180 has them: lines end in CRLF, the first names the columns, cells with a comma or a quote
/// are quoted. No line break ever stands in a cell.
namespace waywarden::report {

/// Text of any kind, made plain; what a spreadsheet would take for a formula gets an apostrophe before it.
std::string text_cell(std::string_view text);

/// A number, or nothing where there is none; the point is the decimal sign whatever the locale.
std::string number_cell(double value, int digits);

void csv_line(std::ostream& out, const std::vector<std::string>& cells);

} // namespace waywarden::report
