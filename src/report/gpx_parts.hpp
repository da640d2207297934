#pragma once

#include "assess.hpp"

#include <pugixml.hpp>

#include <iosfwd>
#include <string>

/// Pieces of GPX 1.1 (topografix.com/GPX/1/1), whose elements come in the order of its schema: metadata,
/// waypoints, tracks.
namespace waywarden::report {

/// The root with what the file is about.
pugi::xml_node begin_gpx(pugi::xml_document& document, const Assessment& assessment,
                         const std::string& about);

struct Waypoint {
    std::string name, description, type;
};
void gpx_waypoint(pugi::xml_node& gpx, geo::Position at, const Waypoint& words);
void gpx_track(const Assessed& route, pugi::xml_node& gpx); ///< the line as drawn

void end_gpx(const pugi::xml_document& document, std::ostream& out);

/// The words cut at a blank to 24 bytes: small devices show no more. Common practice, no source.
std::string gpx_name(std::string words);

} // namespace waywarden::report
