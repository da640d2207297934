#pragma once

#include "map/ground.hpp"
#include "map/hours.hpp"

#include <optional>
#include <string_view>

namespace waywarden::survey {

/// The state of a way mapped as one in use with a mark that it is not, as a word of the fact `lifecycle`; ""
/// where there is no mark. In doubt the mark holds for who walks the way, not for what moves on a road that
/// is crossed. Dates of opening and of the end are compared with when they pass, where that is known. Source:
/// OSM wiki, Key:disused, Key:abandoned, Key:operational_status, Key:start_date, Key:end_date,
/// Key:opening_date, Temporary closures; from memory.
std::string_view marked_state(const map::Tags& tags, const std::optional<map::At>& when = {});

} // namespace waywarden::survey
