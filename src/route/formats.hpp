#pragma once

#include "route/route.hpp"

#include <string>

/// One reader a format; each gets UTF-8 text and throws DataError. `path` is for messages. None looks for
/// oddities.
namespace waywarden::route {

Route read_gpx(const std::string& text, const std::string& path);
Route read_kml(const std::string& text, const std::string& path);
Route read_geojson(const std::string& text, const std::string& path);

/// Notes that the file holds areas beside the lines that were read. `line` of the first area, 0 if not known.
void tell_areas_left_out(Route& route, std::size_t line);

/// What is odd about the line, appended to `route.oddities` in order of the walk.
void find_oddities(Route& route);

} // namespace waywarden::route
