#pragma once

#include "map/ground.hpp"

#include <span>

namespace waywarden::match {

/// The box around some places and so far more, in which ways are looked for. Places across 180 degrees get
/// the whole world.
map::Box box_around(std::span<const geo::Position> places, double more_deg_of_latitude);

geo::Position middle_of(const map::Box& box);

} // namespace waywarden::match
