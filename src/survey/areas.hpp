#pragma once

#include "survey/scene.hpp"

#include <vector>

/// Where the walk is within areas of the map.
namespace waywarden::survey {

/// A place on a walk: part of the way along a step.
struct WalkPlace {
    std::size_t step = 0;
    double share = 0;
    friend auto operator<=>(const WalkPlace&, const WalkPlace&) = default;
};

/// A piece of a walk that lies within an area.
struct AreaSpan {
    std::size_t walk = 0;
    WalkPlace from, to;
    bool starts_inside = false, ends_inside = false; ///< the walk itself starts or ends in the area
};

WalkPoint point_at(const Walk& walk, WalkPlace place);

/// Metres walked from one place to another, on the plane.
double metres_between(const Walk& walk, WalkPlace from, WalkPlace to);

/// The place half of the metres walked along.
WalkPlace middle_of(const Walk& walk, WalkPlace from, WalkPlace to);

/// Looks up where the walk cuts the edges of areas. Built once a route.
class AreaFinder {
  public:
    explicit AreaFinder(const Scene& scene);

    /// Every piece of the walk within the area, in order. An area that holds the whole walk is found too,
    /// however far its edge. Costs the number of its vertices, and little for areas far from the walk.
    std::vector<AreaSpan> spans(const map::Area& area) const;

  private:
    struct StepRef {
        std::size_t walk, step;
    };
    const Scene& m_scene;
    std::vector<std::vector<StepRef>> m_steps; ///< a cell
    PlaneBox m_box;
};

} // namespace waywarden::survey
