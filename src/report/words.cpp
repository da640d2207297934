#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>

namespace waywarden::report {

namespace {

constexpr std::string_view k_replacement = "\xEF\xBF\xBD";

struct Decoded {
    char32_t code = 0;
    std::size_t bytes = 1;
    bool valid = false;
};

/// The code point at the front, by the table of well-formed UTF-8 (Unicode 15, table 3-7).
Decoded decode(std::string_view text) {
    const auto at = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned char lead = at(0);
    if (lead < 0x80) return {lead, 1, true};
    const std::size_t bytes = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
    if (lead < 0xC2 || lead > 0xF4 || text.size() < bytes) return {};
    char32_t code = lead & (0x7FU >> bytes);
    for (std::size_t i = 1; i < bytes; ++i) {
        if ((at(i) & 0xC0U) != 0x80U) return {};
        code = (code << 6U) | (at(i) & 0x3FU);
    }
    const bool overlong = (bytes == 3 && code < 0x800) || (bytes == 4 && code < 0x10000);
    const bool surrogate = code >= 0xD800 && code <= 0xDFFF;
    if (overlong || surrogate || code > 0x10FFFF) return {};
    return {code, bytes, true};
}

bool between(char32_t c, char32_t low, char32_t high) {
    return c >= low && c <= high;
}

bool is_blank(char32_t c) {
    return c == '\n' || c == '\r' || c == '\t' || c == 0x2028 || c == 0x2029;
}

/// Characters that steer a terminal or the direction of writing instead of showing something.
bool is_steering(char32_t c) {
    return c < 0x20 || between(c, 0x7F, 0x9F) || between(c, 0x200E, 0x200F) || between(c, 0x202A, 0x202E) ||
           between(c, 0x2066, 0x2069) || c == 0xFEFF;
}

std::size_t columns_of(char32_t c) {
    const bool combining = between(c, 0x300, 0x36F) || between(c, 0x1AB0, 0x1AFF) ||
                           between(c, 0x20D0, 0x20FF) || between(c, 0x200B, 0x200D) ||
                           between(c, 0xFE00, 0xFE0F);
    if (combining) return 0;
    const bool wide = between(c, 0x1100, 0x115F) || between(c, 0x2E80, 0xA4CF) ||
                      between(c, 0xAC00, 0xD7A3) || between(c, 0xF900, 0xFAFF) ||
                      between(c, 0xFE30, 0xFE6F) || between(c, 0xFF00, 0xFF60) ||
                      between(c, 0x1F300, 0x1FAFF) || between(c, 0x20000, 0x3FFFD);
    return wide ? 2 : 1;
}

std::chrono::year_month_day day_of(std::int64_t unix_s) {
    const std::chrono::sys_seconds time{std::chrono::seconds{unix_s}};
    return std::chrono::year_month_day{std::chrono::floor<std::chrono::days>(time)};
}

std::string day_month_year(unsigned day, unsigned month, int year) {
    static constexpr std::array k_months{"January",   "February", "March",    "April",
                                         "May",       "June",     "July",     "August",
                                         "September", "October",  "November", "December"};
    return fmt::format("{} {} {}", day, k_months.at(month - 1), year);
}

bool digits_at(std::string_view text, std::size_t from, std::size_t count) {
    return text.size() >= from + count &&
           std::all_of(text.begin() + static_cast<std::ptrdiff_t>(from),
                       text.begin() + static_cast<std::ptrdiff_t>(from + count),
                       [](char c) { return c >= '0' && c <= '9'; });
}

} // namespace

std::string plain(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        const Decoded next = decode(text);
        if (next.valid && is_blank(next.code)) {
            out += ' ';
        } else if (!next.valid || is_steering(next.code)) {
            out += k_replacement;
        } else {
            out += text.substr(0, next.bytes);
        }
        text.remove_prefix(next.bytes);
    }
    return out;
}

std::size_t columns(std::string_view text) {
    std::size_t out = 0;
    while (!text.empty()) {
        const Decoded next = decode(text);
        out += next.valid ? columns_of(next.code) : 1;
        text.remove_prefix(next.bytes);
    }
    return out;
}

std::string wrapped(std::string_view first, std::string_view text, std::size_t width) {
    const std::string indent(columns(first), ' ');
    std::string out;
    std::string line{first};
    bool empty = true;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find(' '), text.size());
        const std::string_view word = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (word.empty()) continue;
        if (!empty && columns(line) + 1 + columns(word) > width) {
            out += line + '\n';
            line = indent;
            empty = true;
        }
        if (!empty) line += ' ';
        line += word;
        empty = false;
    }
    return out + line + '\n';
}

std::string padded(std::string text, std::size_t to_columns) {
    const std::size_t have = columns(text);
    if (have < to_columns) text.append(to_columns - have, ' ');
    return text;
}

std::string iso_time(std::int64_t unix_s) {
    const auto day = day_of(unix_s);
    const std::int64_t second = ((unix_s % 86400) + 86400) % 86400;
    return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z", int{day.year()}, unsigned{day.month()},
                       unsigned{day.day()}, second / 3600, second / 60 % 60, second % 60);
}

std::string date_words(std::int64_t unix_s) {
    const auto day = day_of(unix_s);
    return day_month_year(unsigned{day.day()}, unsigned{day.month()}, int{day.year()});
}

std::string date_words(std::string_view iso) {
    const bool dated = digits_at(iso, 0, 4) && digits_at(iso, 5, 2) && digits_at(iso, 8, 2) &&
                       iso[4] == '-' && iso[7] == '-';
    if (!dated) return plain(iso);
    const auto number = [&](std::size_t from, std::size_t count) {
        unsigned value = 0;
        for (const char c : iso.substr(from, count))
            value = value * 10 + static_cast<unsigned>(c - '0');
        return value;
    };
    const unsigned month = number(5, 2);
    if (month < 1 || month > 12) return plain(iso);
    return day_month_year(number(8, 2), month, static_cast<int>(number(0, 4)));
}

std::string distance_words(double metres) {
    if (metres < 999.5) return fmt::format("{:.0f} m", metres);
    return fmt::format("{:.1f} km", metres / 1000);
}

std::string km_words(double metres) {
    return fmt::format("{:.2f}", metres / 1000);
}

std::string counted(std::size_t count, std::string_view one, std::string_view many) {
    return fmt::format("{} {}", count, count == 1 ? one : many);
}

const char* verdict_words(rules::Verdict verdict) {
    switch (verdict) {
    case rules::Verdict::no_objection:
        return "NO OBJECTION FOUND";
    case rules::Verdict::cautions:
        return "CAUTIONS";
    case rules::Verdict::objections:
        return "OBJECTIONS";
    case rules::Verdict::cannot_vouch:
        return "CANNOT VOUCH";
    }
    return "CANNOT VOUCH";
}

const char* level_words(rules::Level level) {
    switch (level) {
    case rules::Level::error:
        return "OBJECTION";
    case rules::Level::warning:
        return "CAUTION";
    case rules::Level::note:
        return "NOTE";
    }
    return "OBJECTION";
}

const char* grade_words(rules::EvidenceGrade grade) {
    switch (grade) {
    case rules::EvidenceGrade::explicit_recent:
        return "tagged on the map and checked not long ago";
    case rules::EvidenceGrade::explicit_tag:
        return "tagged on the map";
    case rules::EvidenceGrade::inferred:
        return "inferred from what the map shows or leaves out";
    case rules::EvidenceGrade::presumed:
        return "presumed for this kind of way in this region";
    case rules::EvidenceGrade::unknown:
        return "the map does not say";
    }
    return "the map does not say";
}

} // namespace waywarden::report
