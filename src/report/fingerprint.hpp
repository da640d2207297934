#pragma once

#include "rules/finding.hpp"

#include <string>

/// Which finding of one run is which of another.
namespace waywarden::report {

/// 16 hexadecimal digits from the rule, the position to 0.001 degrees (about 100 m) and the OSM objects:
/// stays the same where tags, words, levels or the line change a little. A name for people and tools, not the
/// whole truth: a place near the edge of its square may change sides, so our own comparison uses
/// same_place().
std::string fingerprint(const rules::Finding& finding);

inline constexpr double k_same_place_m = 50;

/// The same rule, within 50 m, and at least one OSM object in common (or none in both).
bool same_place(const rules::Finding& a, const rules::Finding& b);

} // namespace waywarden::report
