#pragma once

#include "rules/finding.hpp"

#include <cstdint>
#include <string>
#include <string_view>

/// How reports write text, numbers and dates: the same on every machine, whatever its locale.
namespace waywarden::report {

/// One line that is safe to show: bytes that are no UTF-8, control characters, terminal escapes and marks
/// that turn the direction of writing become U+FFFD; line breaks and tabs become blanks.
std::string plain(std::string_view text);

/// Columns a terminal gives the text: none for combining marks, two for wide East Asian characters. Coarse
/// ranges of Unicode 15, meant for names of places.
std::size_t columns(std::string_view text);

/// The text broken at blanks to lines of `width` columns, each ended by a line break. The first begins with
/// `first`, the others with as many blanks. A word longer than a line stands on its own.
std::string wrapped(std::string_view first, std::string_view text, std::size_t width);

/// The same text filled with blanks up to a number of columns.
std::string padded(std::string text, std::size_t to_columns);

std::string iso_time(std::int64_t unix_s);         ///< 2022-07-20T20:21:30Z; years 0000 to 9999
std::string date_words(std::int64_t unix_s);       ///< 20 July 2022
std::string date_words(std::string_view iso_time); ///< the same from ISO 8601, else the text as it is
std::string distance_words(double metres);         ///< 350 m, 12.4 km
std::string km_words(double metres);               ///< 3.21, in kilometres
std::string counted(std::size_t count, std::string_view one,
                    std::string_view many); ///< 1 caution, 2 cautions

const char* verdict_words(rules::Verdict verdict);   ///< OBJECTIONS
const char* level_words(rules::Level level);         ///< OBJECTION, CAUTION, NOTE
const char* grade_words(rules::EvidenceGrade grade); ///< how the facts behind a finding are known

} // namespace waywarden::report
