#pragma once

#include "survey/scene.hpp"

#include <unordered_map>
#include <vector>

/// How far one sees along a road, judged from nothing but the line of the road on the map. Crests, hedges,
/// walls, buildings and parked cars are not in it: what is told here is at best how far one could see.
namespace waywarden::survey {

/// A place on a road: on the piece of the way from nodes[first] to nodes[first + 1].
struct PlaceOnRoad {
    map::WayIndex way = 0;
    std::uint32_t first = 0;
    geo::Metres2 at;
};

/// The piece of a way nearest to a place.
PlaceOnRoad place_on_road(const Scene& scene, map::WayIndex way, geo::Metres2 near);

/// Why the road can be followed no farther.
enum class RoadEnd {
    limit,    ///< followed for k_sight_limit_m: farther does not matter
    dead_end, ///< nothing comes from beyond
    junction, ///< it ends at another road; what comes from there turns in, slowly
    unread,   ///< it may go on outside what was read of the map
    undrawn,  ///< vertices over 60 m apart on a curve: how it bends is not on the map
};

/// The road as it goes on in one direction.
struct RoadAhead {
    std::vector<geo::Metres2> line; ///< begins at the place itself
    RoadEnd end = RoadEnd::limit;
};

/// A distance seen along a road.
struct Sight {
    double metres = 0;
    bool exact = true;   ///< false: at least so much, the map does not tell how much more
    bool matters = true; ///< false: nothing comes fast from beyond, whatever one sees
};

/// Straighter and longer than this is never needed: nobody can tell the speed of what is farther away.
/// Common practice, no source.
constexpr double k_sight_limit_m = 600;

/// The longest run of road from its beginning whose chord keeps every point of the line between within
/// `clearance_m` of it; on a circle S = 2R acos(1 - m/R), along the arc. Exact for the line given: of a piece
/// between two vertices the part that is still seen counts, so that nothing is sampled.
Sight sight_along(const RoadAhead& ahead, double clearance_m);

/// Follows roads. Built once a route; looks at the ends of roads only.
class Roads {
  public:
    /// `map_reach_m`: how far beside the route the map was read; a road that ends near or beyond that may go
    /// on.
    Roads(const Scene& scene, double map_reach_m);

    /// The road onwards from a place, towards the way's last node or its first; at the end of the way it goes
    /// on along the road of the same name, else along the straightest arm. Followed for `limit_m`.
    RoadAhead ahead(const PlaceOnRoad& place, bool towards_last, double limit_m = k_sight_limit_m) const;

    /// The shorter of the sights on both sides of a place; on a one-way road only the side that traffic comes
    /// from. `matters` is false where no side does.
    struct BothClearances {
        Sight low, high;
    };
    BothClearances shortest(const PlaceOnRoad& place, double low_clearance_m, double high_clearance_m,
                            double limit_m = k_sight_limit_m) const;

  private:
    struct Arm {
        map::NodeIndex node;
        map::WayIndex way;
        std::uint32_t place;
    };
    struct Cursor;
    bool go_on(Cursor& cursor, RoadAhead& out) const;
    RoadEnd end_at(map::NodeIndex node, map::WayIndex way) const;
    bool well_within_reading(map::NodeIndex node) const;

    const Scene& m_scene;
    double m_map_reach_m;
    std::vector<Arm> m_arms;                                   ///< by node
    mutable std::unordered_map<map::NodeIndex, bool> m_within; ///< a cache; belongs to one thread
};

/// From the centre line to what hides the view, hedge or wall: between these two, for all that is known.
/// Common practice, no source: half a lane and half the road with its verge.
constexpr double k_clearance_low_m = 1.5, k_clearance_high_m = 4;

} // namespace waywarden::survey
