#pragma once

#include <string>
#include <vector>

namespace waywarden::cli {

/// The route files meant by the arguments, in their order, and the card of each.
struct RouteFiles {
    std::vector<std::string> routes;   ///< lines, and route cards (.csv, .tsv) that have no line
    std::vector<std::string> cards;    ///< of each route, "" where it has none
    std::vector<std::string> left_out; ///< other files of a folder
};

/// Files and `-` as they are; of a folder every .gpx, .geojson and .kml in it and in the folders below, by
/// name, with a .csv or .tsv beside it of the same stem as its card, and every other .csv or .tsv that can be
/// read as a card. `card` is the card of the one line given, or "". Throws ArgumentError where a folder holds
/// none or cannot be read, a file is given twice, or a card is given with anything but one line.
RouteFiles route_files(const std::vector<std::string>& given, const std::string& card);

} // namespace waywarden::cli
