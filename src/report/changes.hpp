#pragma once

#include "assess.hpp"

/// What the map says otherwise than it did, whether or not a rule objects.
namespace waywarden::report {

enum class Telling {
    changes,         ///< what the map says otherwise
    also_new_records ///< and what it says now and did not say before (a surface, a limit)
};

/// Differences in what the walk runs along, crosses and passes, in order of the walk, from `before`'s survey
/// to `now`'s; both have their stretches with lines. Places are matched on the ground within 30 m, whatever
/// the numbers of the ways. A map that merely says more is no change on the ground: that is told only where
/// it is asked for.
std::vector<Change> changes_of(const survey::Survey& now, const survey::Survey& before, Telling telling);

/// A shorter piece of a way said to be otherwise is not told as a change: it is more likely to be the map's
/// drawing than a change on the ground.
inline constexpr double k_change_worth_telling_m = 50;

} // namespace waywarden::report
