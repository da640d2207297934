#pragma once

#include "map/ground.hpp"

#include <span>
#include <string>

namespace waywarden::cli {

/// `way/123` to an id. Throws ArgumentError.
map::ObjectId parse_object(const std::string& text);

/// A place on an object of the map files: a node's own, a node in the middle of a way, one on the first
/// member of a relation that has any. One pass over the files a step, three at most for a relation of ways.
/// Throws DataError where the files do not hold the object or a place for it.
geo::Position place_of_object(std::span<const std::string> paths, map::ObjectId id);

} // namespace waywarden::cli
