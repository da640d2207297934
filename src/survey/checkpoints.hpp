#pragma once

#include "geo/grid_reference.hpp"
#include "route/route.hpp"
#include "survey/legs.hpp"

#include <span>
#include <string>
#include <vector>

/// Where the legs of a walk begin and end.
namespace waywarden::survey {

/// A checkpoint as somebody named it, before it is found on the line.
struct NamedPlace {
    std::string name;
    geo::Position position;
    double within_m = 60; ///< how far from the line it may be and still part the walk there
};

/// Checkpoints in order of the walk, the start first and the finish last; empty where nothing parts the walk.
struct CheckpointList {
    std::vector<Checkpoint> checkpoints;
    std::string from;                 ///< as LegTable::checkpoints_from
    std::vector<std::string> remarks; ///< what was left out or taken one way of several
};

/// Places found on the line. One that the line passes more than once is taken where the order of the places
/// as given is the order of the walk, if there is such a way, the earliest and nearest of several; else each
/// at its own nearest pass. Passes less than 200 m of walk apart are one. Places that are farther off the
/// line than they may be are told in a remark, with a reference on `grid`. Those within 60 m of walk of an
/// end are that end. `from` is left empty; the list too where no place lies between start and finish.
CheckpointList checkpoints_at(const route::Route& route, std::span<const NamedPlace> places,
                              geo::GridSystem grid);

/// The waypoints that the file holds. Where the line itself was read from them only those with names count.
CheckpointList checkpoints_of_file(const route::Route& route, geo::GridSystem grid);

/// A leg every so many metres of walk, the last one as long as is left.
CheckpointList checkpoints_every(const route::Route& route, const LegSpacing& spacing);

/// Reads `every=2km`, `every=1500m`, `every=1mi`; a point is the decimal sign. Throws ArgumentError for any
/// other text, and for legs under 100 m or over 100 km.
LegSpacing read_leg_spacing(const std::string& text);

} // namespace waywarden::survey
