#pragma once

#include "map/tag_reading.hpp"

#include <functional>

namespace waywarden::map {

/// What `read` makes of tags at a time, foot:conditional and access:conditional weighed: one reading where
/// all that is possible then comes to the same right, else unknown, with the value "conditional". The first
/// words of `because` are of the conditions.
RightReading weighed(const Tags& tags, const At& when, const std::function<RightReading(const Tags&)>& read);

} // namespace waywarden::map
