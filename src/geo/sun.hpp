#pragma once

#include "geo/position.hpp"

#include <chrono>
#include <optional>

namespace waywarden::geo {

/// An instant in UTC, as Unix time.
using UtcSeconds = std::chrono::sys_seconds;

/// The sun on one day at a place. What does not happen on that day (polar day, polar night) is absent.
/// Rise and set are of the upper limb on a level horizon with mean refraction (centre 0.833 degrees below
/// it); civil dawn and dusk are the centre 6 degrees below. Hills make the sun set earlier than told here.
struct SunTimes {
    std::optional<UtcSeconds> dawn, rise, set, dusk;
};

/// Times of the solar day whose noon falls on the date at the place's own mean time: from the midnight
/// before it to the midnight after it. Source: NOAA Solar Calculator (after Meeus, Astronomical Algorithms,
/// chapters 22, 25 and 28). Within a minute of USNO's tables as far as 60 degrees of latitude; nearer the
/// poles the sun grazes the horizon and the minutes are less sure (see the test).
SunTimes sun_times(Position place, std::chrono::year_month_day date);

/// Height of the sun's centre above the level horizon, without refraction, in degrees.
double sun_altitude_deg(Position place, UtcSeconds at);

} // namespace waywarden::geo
