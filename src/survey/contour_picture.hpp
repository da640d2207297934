#pragma once

#include "survey/map_picture.hpp"

#include <functional>
#include <optional>

/// Contours for the map of a report, from a raster of heights.
namespace waywarden::survey {

using HeightAt = std::function<std::optional<double>(geo::Position)>; ///< metres; nothing where not known

/// Adds contours of the ground that the picture shows, and figures on every fifth, as the last of its names.
/// Heights are asked for every 20 m (farther apart on routes over some 30 km) and lightly smoothed. The
/// interval follows the relief and is coarser, and in the end the lines too, where there would be more than
/// `most_points`. Nothing is added where no height is known.
void add_contours(const route::Route& route, const HeightAt& height_m, MapPicture& picture,
                  std::size_t most_points = 20'000);

} // namespace waywarden::survey
