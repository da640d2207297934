#pragma once

#include "geo/position.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace waywarden::route {

struct RoutePoint {
    geo::Position position;
    std::optional<double> elevation_m;
    std::size_t source_line = 0; ///< line in the file, from 1; 0 where it is not known
};

/// A run of points drawn without a gap.
struct Segment {
    std::vector<RoutePoint> points; ///< never empty
};

/// A named place the planner put into the file (GPX wpt or a named rtept).
struct Waypoint {
    std::string name;
    geo::Position position;
    std::optional<double> elevation_m;
    std::size_t source_line = 0;
};

/// Something odd about the line itself that a leader must know. The names become the fact `kind` of rules.
enum class OddityKind {
    gap,           ///< the file's segments do not join: nothing is known of what lies between
    null_island,   ///< a point at 0,0
    swapped,       ///< latitude and longitude look exchanged
    jump,          ///< more than 2 km between two points in a row
    straight,      ///< a long leg (300 m and more) drawn with no point between, shorter than a jump
    single_point,  ///< nothing can be measured
    several_kinds, ///< the file holds more kinds of line than the one that was read
    guessed,       ///< a route card names no way here and the map shows none: the line is a guess
    no_way_there,  ///< a route card's square without a way: straight to the nearest and back
    other_ways,    ///< a leg of a route card that can be walked by other ways too
};

struct Oddity {
    OddityKind kind;
    double from_m = 0; ///< along the route; equal to to_m for a gap, which has no length
    double to_m = 0;
    double length_m = 0; ///< of the gap, jump or straight leg, on the ground
    geo::Position position;
    std::size_t source_line = 0;
    std::string text; ///< one sentence in plain words
};

enum class Format { gpx, geojson, kml, card };

/// A planned route as drawn. Distances along it run over the segments in order; a gap between two
/// segments adds nothing.
struct Route {
    std::string name;
    std::string path; ///< as given on the command line; "-" for standard input
    Format format = Format::gpx;
    std::string read_as; ///< "track", "route", "waypoints", "line" or "card": which part of the file was read
    std::vector<Segment> segments;
    std::vector<Waypoint> waypoints;
    std::vector<Oddity> oddities;
};

/// Makes one of segments that meet (within 1 m, as `gap` has it): whoever walks them crosses what lies where
/// they meet.
void join_segments(Route& route);

/// Geodesic metres from the first point to each point, one list a segment, running on over the segments.
std::vector<std::vector<double>> metres_along(const Route& route);

/// The name of an oddity's kind as rules and reports write it, for example `null_island`.
const char* to_string(OddityKind kind);
const char* to_string(Format format);

} // namespace waywarden::route
