#include "map/part_of.hpp"

#include "map/build_ground.hpp"
#include "map/corridor_net.hpp"

#include <algorithm>

namespace waywarden::map {

namespace {

using Ring = std::vector<geo::Position>;

class Part {
  public:
    Part(const Ground& ground, const Corridor& corridor)
        : m_ground(ground), m_corridor(corridor), m_near(corridor, corridor.reach_m) {}

    Ground made() {
        Ground out;
        out.sources = m_ground.sources;
        for (const Way& way : m_ground.ways)
            if (touches(way)) out.ways.push_back(way);
        renumber(out);
        for (const Area& area : m_ground.areas)
            if (concerns(area)) out.areas.push_back(area);
        for (const TaggedNode& node : m_ground.tagged_nodes)
            if (m_near.holds(node.position)) add_tagged(node, out);
        for (const Shortfall& shortfall : m_ground.shortfalls)
            if (!shortfall.position || m_near.holds(*shortfall.position)) out.shortfalls.push_back(shortfall);
        return out;
    }

  private:
    bool touches(const Way& way) const {
        for (std::size_t i = 0; i + 1 < way.nodes.size(); ++i)
            if (m_near.touches(m_ground.nodes[way.nodes[i]].position,
                               m_ground.nodes[way.nodes[i + 1]].position))
                return true;
        return false;
    }
    bool touches(const Ring& ring) const {
        for (std::size_t i = 0; i + 1 < ring.size(); ++i)
            if (m_near.touches(ring[i], ring[i + 1])) return true;
        return false;
    }
    bool concerns(const Area& area) const {
        return std::any_of(area.polygons.begin(), area.polygons.end(), [&](const Area::Polygon& polygon) {
            if (touches(polygon.outer)) return true;
            if (std::any_of(polygon.inner.begin(), polygon.inner.end(),
                            [&](const Ring& ring) { return touches(ring); }))
                return true;
            return std::any_of(m_corridor.lines.begin(), m_corridor.lines.end(), [&](const Ring& line) {
                return !line.empty() && ring_holds(polygon.outer, line.front());
            });
        });
    }

    /// Nodes of the ways kept, in the order they had.
    void renumber(Ground& out) {
        m_new.assign(m_ground.nodes.size(), k_no_node);
        for (const Way& way : out.ways)
            for (const NodeIndex node : way.nodes)
                m_new[node] = 0;
        for (NodeIndex old = 0; old < m_new.size(); ++old)
            if (m_new[old] != k_no_node) {
                m_new[old] = static_cast<NodeIndex>(out.nodes.size());
                out.nodes.push_back(m_ground.nodes[old]);
            }
        for (Way& way : out.ways)
            for (NodeIndex& node : way.nodes)
                node = m_new[node];
    }

    void add_tagged(const TaggedNode& node, Ground& out) const {
        const NodeIndex at = node.node == k_no_node ? k_no_node : m_new[node.node];
        if (at != k_no_node)
            out.node_tags_by_node.push_back(static_cast<std::uint32_t>(out.tagged_nodes.size()));
        out.tagged_nodes.push_back({node.object, node.position, at});
    }

    const Ground& m_ground;
    const Corridor& m_corridor;
    const CorridorNet m_near;
    std::vector<NodeIndex> m_new; ///< by old index; none where the node is not kept
};

} // namespace

Ground part_of(const Ground& ground, const Corridor& corridor) {
    return Part(ground, corridor).made();
}

} // namespace waywarden::map
