#pragma once

#include <cstdint>
#include <string>

namespace waywarden::cli {

/// Unix time of `2027-05-15`, `2027-05-15T09:30` or `2027-05-15T09:30:00`, read as UTC: it only counts the
/// age of the map, to which a time zone makes no odds. Throws ArgumentError, also for 30 February.
std::int64_t parse_start(const std::string& text);

/// Midnight UTC of `2027-05-15`. Throws ArgumentError that names the option.
std::int64_t parse_day(const std::string& option, const std::string& text);

std::int64_t now_s();   ///< Unix time
std::int64_t today_s(); ///< midnight UTC, so that runs of one day give the same bytes

} // namespace waywarden::cli
