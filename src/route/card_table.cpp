#include "route/card_table.hpp"

#include "route/text.hpp"

#include <algorithm>
#include <map>

namespace waywarden::route {

namespace {

bool is_utf8(std::string_view bytes) {
    for (std::size_t at = 0; at < bytes.size();) {
        const auto lead = static_cast<unsigned char>(bytes[at]);
        const std::size_t more = lead < 0x80                   ? 0
                                 : lead >= 0xC2 && lead < 0xE0 ? 1
                                 : lead >= 0xE0 && lead < 0xF0 ? 2
                                 : lead >= 0xF0 && lead < 0xF5 ? 3
                                                               : 4;
        if (more == 4 || at + more >= bytes.size() + (more == 0)) return false;
        for (std::size_t i = 1; i <= more; ++i)
            if ((static_cast<unsigned char>(bytes[at + i]) & 0xC0) != 0x80) return false;
        at += more + 1;
    }
    return true;
}

/// Every other byte of ASCII in UTF-16 is zero; a sample of the beginning is enough.
std::string_view mark_of_utf16(std::string_view bytes) {
    const std::size_t sample = std::min<std::size_t>(bytes.size(), 200);
    std::size_t even = 0, odd = 0;
    for (std::size_t i = 0; i < sample; ++i)
        if (bytes[i] == '\0') ++(i % 2 == 0 ? even : odd);
    if (odd * 3 > sample) return "\xFF\xFE";
    if (even * 3 > sample) return "\xFE\xFF";
    return "";
}

/// Where the cell that opens with a quote at `at` closes: the index of that quote, or npos.
std::size_t closing_quote(std::string_view text, std::size_t at) {
    for (std::size_t i = at + 1; i < text.size(); ++i) {
        if (text[i] != '"') continue;
        if (i + 1 < text.size() && text[i + 1] == '"')
            ++i;
        else
            return i;
    }
    return std::string_view::npos;
}

/// A quoted cell ends at a separator or a line end; a quote within words is text.
bool closes_cell(std::string_view text, std::size_t quote, char separator) {
    const std::size_t next = text.find_first_not_of(' ', quote + 1);
    return next == std::string_view::npos || text[next] == separator || text[next] == '\n';
}

std::string with_single_quotes(std::string_view quoted) {
    std::string out;
    for (std::size_t i = 0; i < quoted.size(); ++i) {
        out += quoted[i];
        if (quoted[i] == '"' && i + 1 < quoted.size() && quoted[i + 1] == '"') ++i;
    }
    return out;
}

/// Takes one cell from `at`, which stays at the separator or line end after it.
std::string take_cell(std::string_view text, std::size_t& at, char separator) {
    const std::size_t first = text.find_first_not_of(' ', at);
    if (first != std::string_view::npos && text[first] == '"') {
        const std::size_t close = closing_quote(text, first);
        if (close != std::string_view::npos && closes_cell(text, close, separator)) {
            const std::string cell = with_single_quotes(text.substr(first + 1, close - first - 1));
            at = std::min(text.find_first_not_of(' ', close + 1), text.size());
            return clean_name(cell);
        }
    }
    std::size_t end = at;
    while (end < text.size() && text[end] != separator && text[end] != '\n')
        ++end;
    const std::string cell = clean_name(text.substr(at, end - at));
    at = end;
    return cell;
}

/// Every line end becomes one `\n`.
std::string with_plain_line_ends(std::string_view text) {
    std::string out;
    out.reserve(text.size());
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] != '\r') {
            out += text[i];
            continue;
        }
        out += '\n';
        if (i + 1 < text.size() && text[i + 1] == '\n') ++i;
    }
    return out;
}

bool names_separator(std::string_view text) {
    return text.size() > 4 && (text.substr(0, 4) == "sep=" || text.substr(0, 4) == "SEP=");
}

} // namespace

bool TableRow::empty() const {
    return std::all_of(cells.begin(), cells.end(), [](const std::string& cell) { return cell.empty(); });
}

std::string sheet_to_utf8(std::string_view bytes) {
    const bool marked = bytes.substr(0, 2) == "\xFF\xFE" || bytes.substr(0, 2) == "\xFE\xFF" ||
                        bytes.substr(0, 3) == "\xEF\xBB\xBF";
    std::string text;
    if (marked)
        text = to_utf8(bytes);
    else if (const std::string_view mark = mark_of_utf16(bytes); !mark.empty())
        text = to_utf8(std::string(mark) + std::string(bytes));
    else
        text = is_utf8(bytes) ? std::string(bytes) : from_windows_1252(bytes);
    return with_plain_line_ends(text);
}

std::vector<TableRow> cut_table(std::string_view text, char separator) {
    std::vector<TableRow> rows;
    std::size_t at = 0;
    Lines lines(text);
    if (names_separator(text)) at = std::min(text.find('\n'), text.size() - 1) + 1;
    while (at < text.size()) {
        TableRow row;
        row.line = lines.line_of(at);
        while (true) {
            row.cells.push_back(take_cell(text, at, separator));
            if (at >= text.size() || text[at] == '\n') break;
            ++at;
        }
        ++at;
        rows.push_back(std::move(row));
    }
    return rows;
}

char separator_of(std::string_view text) {
    if (names_separator(text)) return text[4] == '\\' ? '\t' : text[4];
    char best = ';';
    std::size_t most = 0;
    for (const char separator : {';', '\t', ','}) {
        std::map<std::size_t, std::size_t> rows_of_width;
        for (const TableRow& row : cut_table(text, separator))
            if (row.cells.size() > 1) ++rows_of_width[row.cells.size()];
        std::size_t score = 0;
        for (const auto& [width, rows] : rows_of_width)
            score = std::max(score, rows * width);
        if (score > most) {
            most = score;
            best = separator;
        }
    }
    return best;
}

} // namespace waywarden::route
