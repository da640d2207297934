#pragma once

#include "survey/cutting.hpp"

#include <cstddef>
#include <vector>

/// Lines of equal height over a grid of heights.
namespace waywarden::survey {

/// Heights at the nodes of a square grid on a plane, row after row from the south, each from the west. NaN:
/// not known there.
struct HeightGrid {
    geo::Metres2 corner; ///< of the south-west node
    double step_m = 0;
    std::size_t columns = 0, rows = 0;
    std::vector<double> height_m;

    double at(std::size_t column, std::size_t row) const { return height_m[row * columns + column]; }
};

struct Contour {
    double height_m = 0;
    PlaneLine line; ///< closed where first equals last; higher ground on its left
};

/// The contours at every multiple of `interval_m` (> 0) but 0, which is the sea, by marching squares: between
/// two nodes height changes evenly, and where four nodes leave open which way a saddle is cut, their mean
/// decides. A square with an unknown corner has none. A node of exactly that height counts as higher.
std::vector<Contour> contours(const HeightGrid& grid, double interval_m);

} // namespace waywarden::survey
