#include "route/text.hpp"

#include "error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdint>

namespace waywarden::route {

namespace {

void put_utf8(std::string& out, std::uint32_t c) {
    const auto byte = [&](std::uint32_t b) { out += static_cast<char>(static_cast<unsigned char>(b)); };
    if (c < 0x80) {
        byte(c);
    } else if (c < 0x800) {
        byte(0xC0 | (c >> 6));
        byte(0x80 | (c & 0x3F));
    } else if (c < 0x10000) {
        byte(0xE0 | (c >> 12));
        byte(0x80 | ((c >> 6) & 0x3F));
        byte(0x80 | (c & 0x3F));
    } else {
        byte(0xF0 | (c >> 18));
        byte(0x80 | ((c >> 12) & 0x3F));
        byte(0x80 | ((c >> 6) & 0x3F));
        byte(0x80 | (c & 0x3F));
    }
}

std::uint32_t byte_at(std::string_view bytes, std::size_t i) {
    return static_cast<unsigned char>(bytes[i]);
}

/// The character at `at`, which moves on; U+FFFD for a byte that begins none (Unicode, table 3-7).
std::uint32_t take_utf8(std::string_view bytes, std::size_t& at) {
    constexpr std::uint32_t k_smallest[] = {0, 0x80, 0x800, 0x10000};
    const std::uint32_t lead = byte_at(bytes, at++);
    if (lead < 0x80) return lead;
    const std::size_t more = lead >= 0xF0 ? 3 : lead >= 0xE0 ? 2 : 1;
    if (lead < 0xC2 || lead > 0xF4 || at + more > bytes.size()) return 0xFFFD;
    std::uint32_t c = lead & (0x3Fu >> more);
    for (std::size_t i = 0; i < more; ++i) {
        const std::uint32_t next = byte_at(bytes, at + i);
        if ((next & 0xC0) != 0x80) return 0xFFFD;
        c = c << 6 | (next & 0x3F);
    }
    if (c < k_smallest[more] || c > 0x10FFFF || (c >= 0xD800 && c < 0xE000)) return 0xFFFD;
    at += more;
    return c;
}

std::string from_utf16(std::string_view bytes, bool big_endian) {
    std::string out;
    const auto unit = [&](std::size_t i) {
        const std::uint32_t a = byte_at(bytes, i), b = byte_at(bytes, i + 1);
        return big_endian ? (a << 8 | b) : (b << 8 | a);
    };
    for (std::size_t i = 0; i + 1 < bytes.size(); i += 2) {
        std::uint32_t c = unit(i);
        if (c >= 0xD800 && c < 0xDC00 && i + 3 < bytes.size()) {
            const std::uint32_t low = unit(i + 2);
            if (low >= 0xDC00 && low < 0xE000) {
                c = 0x10000 + ((c - 0xD800) << 10) + (low - 0xDC00);
                i += 2;
            }
        }
        put_utf8(out, c >= 0xD800 && c < 0xE000 ? 0xFFFD : c);
    }
    return out;
}

// Unicode's table for windows-1252, bytes 0x80 to 0x9F; undefined bytes stay what they are in ISO-8859-1.
constexpr std::array<std::uint16_t, 32> k_windows_1252{
    0x20AC, 0x81,   0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021, 0x02C6, 0x2030, 0x0160,
    0x2039, 0x0152, 0x8D,   0x017D, 0x8F,   0x90,   0x2018, 0x2019, 0x201C, 0x201D, 0x2022,
    0x2013, 0x2014, 0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0x9D,   0x017E, 0x0178};

std::string from_latin_1(std::string_view bytes) {
    std::string out;
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        const std::uint32_t b = byte_at(bytes, i);
        put_utf8(out, b >= 0x80 && b < 0xA0 ? k_windows_1252[b - 0x80] : b);
    }
    return out;
}

/// The value of encoding="..." in an XML declaration, in lower case.
std::string declared_encoding(std::string_view text) {
    if (text.substr(0, 5) != "<?xml") return "";
    const std::string_view declaration = text.substr(0, std::min<std::size_t>(text.find("?>"), 200));
    const std::size_t at = declaration.find("encoding");
    if (at == std::string_view::npos) return "";
    const std::size_t open = declaration.find_first_of("\"'", at);
    if (open == std::string_view::npos) return "";
    const std::size_t close = declaration.find(declaration[open], open + 1);
    std::string value(declaration.substr(open + 1, close == std::string_view::npos ? 0 : close - open - 1));
    for (char& c : value)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return value;
}

} // namespace

std::string from_windows_1252(std::string_view bytes) {
    return from_latin_1(bytes);
}

std::string to_utf8(std::string_view bytes) {
    if (bytes.substr(0, 3) == "\xEF\xBB\xBF") return std::string(bytes.substr(3));
    if (bytes.substr(0, 2) == "\xFF\xFE") return from_utf16(bytes.substr(2), false);
    if (bytes.substr(0, 2) == "\xFE\xFF") return from_utf16(bytes.substr(2), true);
    if (bytes.size() > 3 && bytes[0] == '<' && bytes[1] == 0) return from_utf16(bytes, false);
    if (bytes.size() > 3 && bytes[0] == 0 && bytes[1] == '<') return from_utf16(bytes, true);
    const std::string encoding = declared_encoding(bytes);
    if (encoding == "iso-8859-1" || encoding == "latin1" || encoding == "windows-1252" ||
        encoding == "iso-8859-15")
        return from_latin_1(bytes);
    return std::string(bytes);
}

std::size_t Lines::line_of(std::size_t offset) {
    offset = std::min(offset, m_text.size());
    if (offset < m_at) m_at = 0, m_line = 1;
    const auto at = m_text.begin() + static_cast<std::ptrdiff_t>(m_at);
    m_line +=
        static_cast<std::size_t>(std::count(at, m_text.begin() + static_cast<std::ptrdiff_t>(offset), '\n'));
    m_at = offset;
    return m_line;
}

std::optional<double> number(std::string_view text) {
    const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; };
    while (!text.empty() && blank(text.front()))
        text.remove_prefix(1);
    while (!text.empty() && blank(text.back()))
        text.remove_suffix(1);
    if (text.size() > 1 && text.front() == '+' && text[1] != '-') text.remove_prefix(1);
    double value = 0;
    const auto result = std::from_chars(text.data(), text.data() + text.size(), value);
    if (text.empty() || result.ec != std::errc() || result.ptr != text.data() + text.size() ||
        !std::isfinite(value))
        return std::nullopt;
    return value;
}

std::optional<double> elevation(double metres) {
    return metres >= -500 && metres <= 9000 ? std::optional(metres) : std::nullopt;
}

std::optional<double> elevation(std::string_view text) {
    const auto metres = number(text);
    return metres ? elevation(*metres) : std::nullopt;
}

std::string clean_name(std::string_view name) {
    constexpr std::size_t k_longest = 200;
    std::string out;
    std::size_t characters = 0;
    bool blank = false;
    for (std::size_t at = 0; at < name.size();) {
        const std::uint32_t c = take_utf8(name, at);
        if (c <= 0x20 || (c >= 0x7F && c <= 0xA0)) { // controls, and every plain blank
            blank = blank || c == 0x20 || (c >= 0x09 && c <= 0x0D) || c == 0xA0;
            continue;
        }
        if (++characters > k_longest) return out + "\xE2\x80\xA6";
        if (blank && !out.empty()) out += ' ';
        blank = false;
        put_utf8(out, c);
    }
    return out;
}

void refuse(const Where& where, const std::string& what, const std::string& advice) {
    const std::string line = where.line > 0 ? fmt::format(":{}", where.line) : "";
    throw DataError(fmt::format("{}{}: {}; {}", where.path, line, what, advice));
}

LonLat checked(double lon, double lat, const Where& where) {
    if (std::abs(lat) > 90 && std::abs(lat) <= 180 && std::abs(lon) <= 90)
        refuse(where, fmt::format("latitude {} is out of range", lat),
               "latitude and longitude may have been swapped: correct the file");
    if (!(std::abs(lat) <= 90))
        refuse(where, fmt::format("latitude {} is out of range", lat), "it must lie between -90 and 90");
    if (!(std::abs(lon) <= 180))
        refuse(where, fmt::format("longitude {} is out of range", lon), "it must lie between -180 and 180");
    return {lon, lat};
}

LonLat checked(std::string_view lon, std::string_view lat, const Where& where) {
    const auto shown = [](std::string_view text) { return std::string(text.substr(0, 30)); };
    const auto x = number(lon), y = number(lat);
    if (!y)
        refuse(where, fmt::format("latitude \"{}\" is not a number", shown(lat)),
               "write it in decimal degrees");
    if (!x)
        refuse(where, fmt::format("longitude \"{}\" is not a number", shown(lon)),
               "write it in decimal degrees");
    return checked(*x, *y, where);
}

} // namespace waywarden::route
