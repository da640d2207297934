#pragma once

#include "geo/zoned_time.hpp"
#include "map/hours.hpp"

#include <optional>
#include <string>

namespace waywarden::survey {

/// How fast a party walks, on the flat.
struct Pace {
    double kmh = 0;
    double rest_min_per_h = 0; ///< minutes of rest in an hour of walking
};

/// When a walk begins, and how fast it goes on.
struct Timetable {
    geo::WrittenTime start;
    std::optional<Pace> pace; ///< none: only the start is known
    std::string zone;         ///< IANA name; "" where it is not known
};

/// When the walkers are between two places of the route, in metres along it, by the clock of the place: from
/// the earliest they may reach the first to the latest they may leave the second. Heights are not
/// reckoned, so the span is wide: the earliest is at a pace a quarter faster without rests, the latest a
/// quarter slower with rests, and a quarter of an hour late (common practice, no source). A date without a
/// time of day gives the whole day; a pace that is not known the rest of it. Nothing where the piece may be
/// reached more than 16 hours after the start: a walk of several days rests at hours nobody told.
std::optional<map::At> passing(const Timetable& timetable, double from_m, double to_m,
                               geo::Position position);

/// What the clock of the place says so many minutes after the start, also over a change of the clocks.
geo::LocalSeconds clock_after(const Timetable& timetable, double minutes);

/// From the start on; beyond it there was a night between, and rests at hours nobody told.
constexpr double k_longest_day_min = 16 * 60;

} // namespace waywarden::survey
