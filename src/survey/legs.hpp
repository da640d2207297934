#pragma once

#include "geo/position.hpp"
#include "geo/zoned_time.hpp"
#include "map/kinds.hpp"
#include "survey/facts.hpp"

#include <cmath>
#include <map>
#include <optional>
#include <string>
#include <vector>

/// The walk leg by leg, as a route card tells it.
namespace waywarden::survey {

/// How far apart legs begin where nothing else says so.
struct LegSpacing {
    double every_m = 0;
    double unit_m = 1000; ///< 1000, 1 or 1609.344 (international mile)
    std::string unit;     ///< "km", "m" or "mi"
};

/// Where a leg begins or ends.
struct Checkpoint {
    std::string name;       ///< "start", "finish", "2 km" where nobody named it
    geo::Position position; ///< as the file or the card has it
    double at_m = 0;        ///< along the line
    double aside_m = 0;     ///< from the line
};

/// A road that the leg meets, by which help can come or walkers can get out.
struct EscapeWay {
    std::string name; ///< name or ref; "" where it has none
    map::Access access = map::Access::minor_road;
    double at_m = 0; ///< where the route meets it
};

struct Leg {
    int number = 1; ///< from 1
    Checkpoint from, to;
    double length_m = 0;         ///< as walked
    double straight_m = 0;       ///< between its ends
    double bearing_grid_deg = 0; ///< of the straight line, 0 up to 360, clockwise from grid north; see
                                 ///< has_bearing()
    double leaving_grid_deg = 0; ///< of the way on leaving `from`, over its first 50 m
    std::optional<double>
        grid_magnetic_angle_deg; ///< magnetic = grid - this; none where the model does not reach
    std::optional<double> ascent_m, descent_m;        ///< none: heights unknown
    bool climb_is_told = false;                       ///< by the card, not by heights
    std::optional<double> walking_min, rest_min;      ///< none: pace unknown
    std::optional<geo::LocalSeconds> leaves, arrives; ///< by the clock of the place; none where nobody said
    std::map<map::Access, double> by_access;          ///< metres underfoot
    std::vector<EscapeWay> escapes;                   ///< by at_m
    Facts facts;                                      ///< of SubjectKind::leg
};

/// Whether the ends are so far apart (10 m) that the straight line between them has a direction.
inline bool has_bearing(const Leg& leg) {
    return leg.straight_m >= 10;
}

/// A bearing by compass from one on the grid; nothing where the needle is not known.
inline std::optional<double> bearing_magnetic_deg(const Leg& leg, double bearing_grid_deg) {
    if (!leg.grid_magnetic_angle_deg) return std::nullopt;
    return std::fmod(bearing_grid_deg - *leg.grid_magnetic_angle_deg + 720, 360);
}

/// A bearing in whole degrees as people write it: 0 to 359.
inline int whole_degrees(double bearing_deg) {
    return static_cast<int>(std::lround(bearing_deg)) % 360;
}

/// All legs, and how their figures were come by, in words for the reader.
struct LegTable {
    std::vector<Leg> legs;        ///< cover the route without gap; empty where there is nothing to part it by
    std::string checkpoints_from; ///< "waypoints of the file", "every 2 km", "the card"
    std::string heights_from;     ///< "the file's own elevations, smoothed over 50 m", "" unknown
    std::string time_by;          ///< name of the method and its figures
    std::string magnetic_by;      ///< model and date, or why there is none
    std::vector<std::string> remarks; ///< checkpoints off the line and the like, one sentence each
};

} // namespace waywarden::survey
