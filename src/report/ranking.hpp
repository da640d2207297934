#pragma once

#include "assess.hpp"

#include <cstddef>
#include <vector>

/// The order in which reports tell of findings and routes: the same in each, so that a number means the same.
namespace waywarden::report {

/// The findings as reports number them, from 1: those that keep the route from being vouched for, then by
/// level, within that in order of the walk; accepted ones last. Absent ones are not among them.
std::vector<const rules::Finding*> ranked(const Assessed& route);

/// How many findings count, by level; accepted ones are counted apart.
struct Tally {
    std::size_t errors = 0, warnings = 0, notes = 0, accepted = 0;
};
Tally tally(const Assessed& route);

/// By verdict, then by the number of objections, cautions and notes; else in the order given.
std::vector<const Assessed*> worst_first(const Assessment& assessment);

/// Metres as results hold them, to 0.01: every report starts from these, so that one made from results
/// of several runs says the same.
double rounded_m(double metres);

} // namespace waywarden::report
