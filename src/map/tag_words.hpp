#pragma once

#include <algorithm>
#include <array>
#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

namespace waywarden::map {

/// Whether a word is one of those named.
inline bool among(std::string_view word, std::initializer_list<std::string_view> words) {
    return std::find(words.begin(), words.end(), word) != words.end();
}
template <std::size_t n> bool among(const std::array<std::string_view, n>& words, std::string_view word) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

/// Lower case, without blanks at the ends.
std::string tidied(std::string_view text);

/// The parts of a value between separators, tidied, without empty ones.
std::vector<std::string> parts_of(std::string_view value, char separator = ';');

/// The number at the front and the unit behind it, tidied: "2.5 m" -> 2.5, "m". False where none stands
/// there.
bool number_and_unit(const std::string& text, double& number, std::string& unit);

/// The seven grades of a path's difficulty, easiest first; a grade's number is its place.
/// Source: OSM wiki, Key:sac_scale (after the hiking scale of the Swiss Alpine Club).
inline constexpr std::array<std::string_view, 7> k_sac_scale{"strolling",
                                                             "hiking",
                                                             "mountain_hiking",
                                                             "demanding_mountain_hiking",
                                                             "alpine_hiking",
                                                             "demanding_alpine_hiking",
                                                             "difficult_alpine_hiking"};

} // namespace waywarden::map
