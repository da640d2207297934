#pragma once

#include "report/marshals.hpp"

#include <string>
#include <string_view>

/// Words that several parts of the organiser's sheet share.
namespace waywarden::report {

inline constexpr std::string_view k_not_known = "not known";

/// "60 mph (recorded)", "60 mph (presumed, not recorded)", "not known".
std::string limit_words(const survey::Facts& facts);
/// Limits from here on count as fast: 50 km/h, a little above 30 mph.
inline constexpr double k_slow_kmh = 50;
bool is_slow(const survey::Facts& facts); ///< a limit is known, and it is at most that

/// "A9979 (major road)", "minor road without a name on the map, recorded as construction".
std::string way_words(const std::string& name, map::Access access, const survey::Facts& facts);

std::string minutes_words(double minutes); ///< "25 s", "4.5 min", "75 min"
/// "a group of 30", "the party", or that nobody said how many.
std::string group_words(const Assessment& assessment);

/// "stepping_stones" as "stepping stones".
std::string spaced(std::string word);

} // namespace waywarden::report
