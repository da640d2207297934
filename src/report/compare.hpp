#pragma once

#include "assess.hpp"

#include <string>
#include <vector>

namespace waywarden::report {

/// Says of every finding whether the earlier assessment had it (same_place(), one for one, the nearest
/// first), and lists those that are no longer found. Routes are paired by name and file, else by name, else
/// by file; of a route that was not there everything is new. The verdict stays as it is. Where the earlier
/// result has its walks, also tells what the map says otherwise, and by that why findings came or went. Gives
/// what limits the comparison, in words.
std::vector<std::string> compare(Assessment& now, const Assessment& before);

} // namespace waywarden::report
