#pragma once

#include <string>
#include <vector>

namespace waywarden::cli {

/// The route files meant by the arguments, in their order: files and `-` as they are; of a folder every
/// .gpx, .geojson and .kml in it and in the folders below, by name. `left_out` gets the other files there.
/// Throws ArgumentError where a folder holds none or cannot be read, or a file is given twice.
std::vector<std::string> route_files(const std::vector<std::string>& given,
                                     std::vector<std::string>& left_out);

} // namespace waywarden::cli
