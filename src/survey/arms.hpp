#pragma once

#include "survey/scene.hpp"

#include <vector>

/// Which side of a line something lies on, told by sorting the arms at a node by angle.
namespace waywarden::survey {

/// Clockwise angle at a place from one direction to another, radians in [0, 2 pi).
double turn_rad(geo::Metres2 at, geo::Metres2 from, geo::Metres2 to);

/// Whether an arm lies left of someone who comes from `in` and goes on to `out`.
bool lies_left(geo::Metres2 at, geo::Metres2 in, geo::Metres2 out, geo::Metres2 arm);

/// Whether a line with these two arms at a place has one on either side of someone who walks through it.
bool separates(geo::Metres2 at, geo::Metres2 in, geo::Metres2 out, geo::Metres2 arm, geo::Metres2 other_arm);

/// By how much the way on differs from straight ahead, radians in [0, pi].
double bend_rad(geo::Metres2 at, geo::Metres2 in, geo::Metres2 out);

/// The neighbours of a node along a way.
std::vector<map::NodeIndex> arms_of(const map::Way& way, map::NodeIndex node);

/// Whether a point of the walk and a node of the map lie in the same direction seen from a place.
bool same_direction(geo::Metres2 at, geo::Metres2 a, geo::Metres2 b);

} // namespace waywarden::survey
