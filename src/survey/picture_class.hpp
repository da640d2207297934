#pragma once

#include "survey/map_picture.hpp"

#include <optional>

/// As what a thing on the map is drawn.
namespace waywarden::survey {

std::optional<PictureClass> picture_of_line(const map::Tags& tags); ///< none: not drawn
std::optional<PictureClass> picture_of_area(const map::Tags& tags);

} // namespace waywarden::survey
