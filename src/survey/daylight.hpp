#pragma once

#include "geo/position.hpp"
#include "geo/zoned_time.hpp"
#include "survey/heights.hpp"
#include "survey/legs.hpp"
#include "survey/passing_time.hpp"

#include <optional>
#include <string>
#include <vector>

namespace waywarden::route {
struct Route;
}

namespace waywarden::survey {

struct Given;
struct Survey;

/// The sun by the clock of the place on the day of the start: rise and dawn where the walk begins, set and
/// dusk where it ends, on a level horizon (geo/sun.hpp). What does not happen on that day is absent.
struct Daylight {
    std::optional<geo::LocalSeconds> dawn, rise, set, dusk;
    bool never_sets = false, never_rises = false; ///< all of that day
    std::optional<geo::LocalSeconds> starts;      ///< none: no time of day was given
    std::optional<geo::LocalSeconds> ends;        ///< rests included; none: not known, or a night between
    bool ends_at_the_earliest = false;            ///< `ends` is too early by what climbs nobody knows take
    std::string words; ///< the sun in one sentence, "" where its clock is not known
};

/// How long the walk takes, rests included.
struct DayLength {
    std::optional<double> minutes; ///< by the party's method; none where a height or the pace is unknown
    std::optional<double>
        at_least_min; ///< on the flat but for the climbs that are known; none: no method says
};
DayLength day_length(const LegTable& legs, const Given& given, double length_m);

/// Sets `daylight` of the survey and the facts on time of the route and of its legs. Without a start the
/// facts that need one are unknown and `start_given` is false.
void set_daylight(const route::Route& route, const Given& given, Survey& survey);

/// What of heights, times and daylight could not be told, in sentences.
std::vector<std::string> times_not_seen(const Given& given, const Survey& survey);

} // namespace waywarden::survey
