#pragma once

#include "map/ground.hpp"
#include "rules/json_text.hpp"

/// Values that results hold everywhere; each refuses what cannot be, with its place in the file.
namespace waywarden::report {

double read_metres(const rules::Value& value); ///< not below 0
int read_count(const rules::Value& value);     ///< whole, not below 0
geo::Position read_position(const rules::Value& value);
map::ObjectId read_object(const rules::Value& value);

} // namespace waywarden::report
