#include "report/csv_cells.hpp"

#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <ostream>

namespace waywarden::report {

namespace {

std::string quoted(const std::string& cell) {
    if (cell.find_first_of(",\"") == std::string::npos) return cell;
    std::string out = "\"";
    for (const char c : cell) {
        if (c == '"') out += '"';
        out += c;
    }
    return out + '"';
}

/// A spreadsheet takes what begins with one of these for a formula (OWASP, "CSV Injection"; the wide forms of
/// = + - @ too), and some skip blanks before it: an apostrophe makes it text. Tab and CR at the front are
/// looked for before plain() turns them into blanks.
bool is_formula(std::string_view text) {
    if (text.starts_with('\t') || text.starts_with('\r') || text.starts_with('\n')) return true;
    text.remove_prefix(std::min(text.find_first_not_of(' '), text.size()));
    static constexpr std::array<std::string_view, 8> k_starts{"=",      "+",      "-",      "@",
                                                              "\uFF1D", "\uFF0B", "\uFF0D", "\uFF20"};
    for (const std::string_view start : k_starts)
        if (text.starts_with(start)) return true;
    return false;
}

} // namespace

std::string text_cell(std::string_view text) {
    return quoted((is_formula(text) ? "'" : "") + plain(text));
}

std::string number_cell(double value, int digits) {
    if (!std::isfinite(value)) return "";
    const std::string out = fmt::format("{:.{}f}", value, digits);
    return out.find_first_not_of("-0.") == std::string::npos && out.starts_with('-') ? out.substr(1) : out;
}

void csv_line(std::ostream& out, const std::vector<std::string>& cells) {
    for (std::size_t i = 0; i < cells.size(); ++i)
        out << (i ? "," : "") << cells[i];
    out << "\r\n";
}

} // namespace waywarden::report
