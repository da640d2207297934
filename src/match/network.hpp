#pragma once

#include "map/ground.hpp"
#include "map/kinds.hpp"

#include <cstdint>
#include <span>
#include <unordered_map>
#include <vector>

/// The ways one can walk along as a graph: the ground the matcher works on.
namespace waywarden::match {

/// A conformal plane for matching (Mercator, true to scale at one latitude). Angles are right everywhere;
/// lengths are off by tan(latitude) * d / 6371 km at d north or south of it, so 1 % at 50 km in Britain:
/// harmless here, where lengths are only compared with their neighbours. Metres reported to anyone are
/// geodesic and do not come from here.
class MatchPlane {
  public:
    explicit MatchPlane(geo::Position middle);
    geo::Metres2 to_plane(geo::Position p) const;
    geo::Position to_position(geo::Metres2 m) const;

  private:
    double m_lon0_deg, m_scale_m;
};

using EdgeIndex = std::uint32_t;
using JunctionIndex = std::uint32_t;

/// A piece of one way between two junctions.
struct Edge {
    map::WayIndex way = 0;
    std::uint32_t first_vertex = 0, vertex_count = 0; ///< into Network::vertices
    std::uint32_t first_in_way = 0;                   ///< index of its first node in the way's list of nodes
    JunctionIndex from = 0, to = 0;
    double length_m = 0;
    map::Access access = map::Access::open_ground;
    bool outline = false; ///< of a square (area=yes), not a way of its own
};

struct Vertex {
    geo::Metres2 at;
    double offset_m = 0; ///< along its edge
    map::NodeIndex node = map::k_no_node;
};

/// A place on the network.
struct Place {
    EdgeIndex edge = 0;
    double offset_m = 0;
    geo::Metres2 at;
};

class Network {
  public:
    /// Takes every way of the ground that can be walked along and does not lie wholly to one side of the box:
    /// paths, roads, rails and ferries, in any lifecycle state.
    Network(const map::Ground& ground, const MatchPlane& plane, const map::Box& box);

    struct Arm {
        EdgeIndex edge;
        JunctionIndex other;
    };
    const std::vector<Edge>& edges() const { return m_edges; }
    std::span<const Vertex> vertices(const Edge& edge) const {
        return {m_vertices.data() + edge.first_vertex, edge.vertex_count};
    }
    std::span<const Arm> arms(JunctionIndex junction) const {
        return {m_arms.data() + m_arm_starts[junction], m_arm_starts[junction + 1] - m_arm_starts[junction]};
    }
    std::size_t junction_count() const { return m_arm_starts.size() - 1; }

    geo::Metres2 at(const Edge& edge, double offset_m) const;

    /// A run of offsets of one edge that lies within a radius of a point.
    struct Near {
        EdgeIndex edge;
        double from_m, to_m;
        double distance_m; ///< the least
    };
    /// Every such run, by edge then offset; segments are looked up, never vertices.
    void near(geo::Metres2 p, double radius_m, std::vector<Near>& out) const;

  private:
    struct SegmentRef {
        EdgeIndex edge;
        std::uint32_t segment;
    };
    void add_way(const map::Ground& ground, map::WayIndex way, const MatchPlane& plane,
                 const std::vector<std::uint8_t>& is_junction);
    JunctionIndex junction(map::NodeIndex node);
    void link();
    void index_segments();

    std::vector<Edge> m_edges;
    std::vector<Vertex> m_vertices;
    std::vector<Arm> m_arms;
    std::vector<std::uint32_t> m_arm_starts;
    std::unordered_map<map::NodeIndex, JunctionIndex> m_junctions;
    std::unordered_map<std::int64_t, std::vector<SegmentRef>> m_cells;
};

} // namespace waywarden::match
