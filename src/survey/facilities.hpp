#pragma once

#include "survey/hits.hpp"
#include "survey/survey.hpp"

#include <vector>

namespace waywarden::survey {

/// Tagged nodes on ways near the walk that help, protect or hinder at crossings. Built once a route.
class Facilities {
  public:
    explicit Facilities(const Scene& scene);

    /// Sets `facility` and `island` for a road crossed at grade; adds what was found to the evidence.
    void describe_road(const Hit& hit, Crossing& crossing) const;
    /// Sets `rail_protection`.
    void describe_rail(const Hit& hit, Crossing& crossing) const;
    /// Gates and stiles of a wall or fence cut on open ground: sets `barrier_passable` and `locked`, and
    /// `level` as the means where there is one within reach of the drawn line's error.
    void describe_barrier(const Hit& hit, Crossing& crossing) const;

  private:
    /// Nodes within a radius of the piece of the walk where the crossing is made, on what is crossed.
    std::vector<const map::TaggedNode*> beside(const Hit& hit, double radius_m) const;
    bool is_on(const map::TaggedNode& node, const Hit& hit) const;
    /// The level crossings that the walk goes over there, and not one that somebody else has nearby.
    std::vector<const map::TaggedNode*> rail_crossings_of(const Hit& hit) const;
    bool is_walked_over(const map::TaggedNode& node, const Hit& hit) const;
    bool is_on_track_beside(const map::TaggedNode& node, const Hit& hit) const;

    const Scene& m_scene;
    std::vector<const map::TaggedNode*> m_nodes;
};

} // namespace waywarden::survey
