#pragma once

#include "assess.hpp"

#include <optional>
#include <string>
#include <vector>

/// The legs of a walk in the words of reports for people; and as JSON and CSV have their numbers.
namespace waywarden::report {

/// "OM 603 071": the square of 100 m that a checkpoint is in, truncated, eastings first.
std::string reference_of(const survey::Checkpoint& place, const Assessed& route);

/// "034", or "–" where it is not known.
std::string bearing_words(const std::optional<double>& bearing_deg);
std::optional<double> bearing_of(const survey::Leg& leg);          ///< from grid north; none where ends meet
std::optional<double> magnetic_bearing_of(const survey::Leg& leg); ///< by compass

std::string minutes_words(const std::optional<double>& minutes);     ///< "1 h 05", "48 min", "–"
std::string clock_words(const std::optional<geo::LocalSeconds>& at); ///< "09:30", "–"
std::string climb_words(const std::optional<double>& metres);        ///< "35", "–"
std::string km_of_leg(const survey::Leg& leg);                       ///< "2.4"

/// "minor road 1.2 km, footpath 800 m", the longest first; under 5 m in all is left out.
std::string underfoot_words(const survey::Leg& leg);

/// "Halt Lane (km 1.2), an unnamed minor road (km 2.0)"; at most six, then how many more. "" where none.
std::string escapes_words(const survey::Leg& leg);

/// Sums of what is known of every leg; none where it is not known of one.
struct LegSums {
    std::optional<double> ascent_m, descent_m, walking_min, rest_min;
};
LegSums sums_of(const survey::LegTable& table);

/// How to read the table, where its figures come from, and what is left open: one sentence or two each.
std::vector<std::string> leg_notes(const Assessed& route);

} // namespace waywarden::report
