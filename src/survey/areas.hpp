#pragma once

#include "survey/scene.hpp"

#include <map>
#include <optional>
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

/// The place of a walk that is nearest to an area.
struct AreaBeside {
    std::size_t walk = 0;
    WalkPlace at;
    double distance_m = 0;
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
    /// however far its edge. Costs the number of its vertices, and little for areas far from the walk; once
    /// for each area of the ground.
    const std::vector<AreaSpan>& spans(const map::Area& area) const;

    /// Where the walk comes nearest to the edge of the area; nothing where that is farther than `within_m`,
    /// which is at most Scene::k_reach_m. Costs as `spans`.
    std::optional<AreaBeside> beside(const map::Area& area, double within_m) const;

  private:
    std::vector<AreaSpan> find_spans(const map::Area& area) const;
    double metres_to(std::size_t walk, WalkPlace place) const;
    WalkPlace middle_between(std::size_t walk, WalkPlace from, WalkPlace to) const;

    const Scene& m_scene;
    StepsInCells m_steps;
    std::vector<std::vector<double>> m_metres_to; ///< a walk: metres on the plane to each of its points
    PlaneBox m_box;
    mutable std::map<const map::Area*, std::vector<AreaSpan>> m_known; ///< a Scene belongs to one thread
};

} // namespace waywarden::survey
