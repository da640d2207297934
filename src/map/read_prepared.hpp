#pragma once

#include "map/read.hpp"

#include <string>

namespace waywarden::map {

/// Reads a map made by `prepare`: gives what `read` gives for the extracts that it was made from, but that
/// the path is its own. Throws DataError where it is damaged or of another edition.
Ground read_prepared(const std::string& path, const Corridor& corridor);

} // namespace waywarden::map
