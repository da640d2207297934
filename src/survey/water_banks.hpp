#pragma once

#include "survey/areas.hpp"

#include <vector>

/// Paths whose points are those of the water's edge: common on banks, and no walk through the water.
namespace waywarden::survey {

/// Nearer to the edge than this all along the walk keeps to it: points shared are exact, and water narrower
/// than twice this is stepped over. Common practice, no source.
constexpr double k_on_edge_m = 0.5;

/// Pieces of edges.
struct Edges {
    std::vector<std::pair<geo::Metres2, geo::Metres2>> pieces;
    /// Whether the line from a to b keeps to them.
    bool hold(geo::Metres2 a, geo::Metres2 b) const;
};

/// The edges of an area that a box touches.
Edges edges_near(const Scene& scene, const map::Area& area, PlaneBox box);

/// A piece of the walk in an area, split where it keeps to the edge.
struct SplitSpan {
    std::vector<AreaSpan> within;  ///< none or one: what lies between the ends that keep to the edge
    std::vector<AreaSpan> on_edge; ///< those ends, or all of it
};
SplitSpan split_at_edge(const Scene& scene, const map::Area& area, const AreaSpan& span);

/// The pieces of the walk in an area without those that keep to its edge.
std::vector<AreaSpan> spans_within(const Scene& scene, const AreaFinder& finder, const map::Area& area);

} // namespace waywarden::survey
