#pragma once

#include "assess.hpp"

/// What the map says otherwise than it did, whether or not a rule objects.
namespace waywarden::report {

struct Differences {
    std::vector<Change> changes; ///< what the map says otherwise
    /// What it says now and did not say before (a surface, a limit), and pieces shorter than
    /// `k_change_worth_telling_m`: no change on the ground, but it may be why a finding came or went.
    std::vector<Change> lesser;
};

/// Differences in what the walk runs along, crosses and passes, in order of the walk, from `before`'s survey
/// to `now`'s; both have their stretches with lines. Places are matched on the ground within 30 m, whatever
/// the numbers of the ways; a road walked along is crossed as before wherever along it that is listed.
Differences changes_of(const survey::Survey& now, const survey::Survey& before);

/// A shorter piece of a way said to be otherwise is not told as a change: it is more likely to be the map's
/// drawing than a change on the ground.
inline constexpr double k_change_worth_telling_m = 50;

} // namespace waywarden::report
