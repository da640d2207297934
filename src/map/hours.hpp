#pragma once

#include "geo/position.hpp"

#include <chrono>
#include <string>
#include <string_view>

/// What is open or closed at a time, as tags say it.
namespace waywarden::map {

/// When and where the walkers are, by the clock of the place: somewhere between two times, which are equal
/// where the time is exact.
struct At {
    std::chrono::local_seconds from, to;
    geo::Position position;
    std::string zone; ///< IANA name; "" where it is not known: then the sun's times are unknown too
};

enum class Opening { closed, open, unknown };
const char* to_string(Opening state);

struct HoursReading {
    Opening state = Opening::unknown;
    std::string because; ///< why, in words that follow "because"
};

/// What an opening_hours value comes to through the whole of a time: open or closed only where it is so from
/// first to last. What the program cannot read, and whether a day is a public or a school holiday, is
/// unknown where it can change the answer. Never throws for any bytes; linear in the length of the value
/// and in the minutes between `from` and `to` (above two days: unknown).
/// Source: OpenStreetMap wiki, Key:opening_hours/specification, version 0.7.2.
/// A time range that runs past midnight belongs to the day on which it begins; a later rule without a comma
/// before it replaces what earlier ones say of the days it names; `off` only takes away.
HoursReading hours_at(std::string_view value, const At& when);

/// Whether every part of the value can be read.
bool can_read_hours(std::string_view value);

} // namespace waywarden::map
