#pragma once

#include "map/read.hpp"

#include <string>

namespace waywarden::map {

/// Whether that is one prepared map, of which a route's part is read in milliseconds: several routes are
/// then better read one by one.
bool is_prepared(std::span<const std::string> paths);

/// Reads a map made by `prepare`: gives what `read` gives for the extracts that it was made from, but that
/// the path is its own. Throws DataError where it is damaged or of another edition.
Ground read_prepared(const std::string& path, const Corridor& corridor);

} // namespace waywarden::map
