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
        : m_ground(ground), m_corridor(corridor), m_near(corridor, corridor.reach_m),
          m_wide(corridor, std::max(corridor.around_m, corridor.reach_m)) {}

    Ground made() {
        Ground out;
        out.sources = m_ground.sources;
        out.layers = m_ground.layers;
        out.tagged_lengths = m_ground.tallies.within(m_corridor);
        for (const Way& way : m_ground.ways)
            if (touches(way))
                out.ways.push_back(way);
            else if (way.object.tags.has("highway") && is_around(way))
                out.around.push_back(way);
        for (const Way& way : m_ground.around)
            if (is_around(way)) out.around.push_back(way);
        std::stable_sort(out.around.begin(), out.around.end(),
                         [](const Way& a, const Way& b) { return a.object.id < b.object.id; });
        renumber(out);
        for (const Area& area : m_ground.areas)
            if (concerns(area)) out.areas.push_back(area);
        for (const TaggedNode& node : m_ground.tagged_nodes)
            if (m_near.holds(node.position)) add_tagged(node, out);
        for (Shortfall shortfall : m_ground.shortfalls)
            if (localise(shortfall, m_corridor, {m_near, m_wide}))
                out.shortfalls.push_back(std::move(shortfall));
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
    bool is_around(const Way& way) const {
        return std::any_of(way.nodes.begin(), way.nodes.end(),
                           [this](NodeIndex node) { return m_wide.holds(m_ground.nodes[node].position); });
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
        for (const auto* ways : {&out.ways, &out.around})
            for (const Way& way : *ways)
                for (const NodeIndex node : way.nodes)
                    m_new[node] = 0;
        for (NodeIndex old = 0; old < m_new.size(); ++old)
            if (m_new[old] != k_no_node) {
                m_new[old] = static_cast<NodeIndex>(out.nodes.size());
                out.nodes.push_back(m_ground.nodes[old]);
            }
        for (auto* ways : {&out.ways, &out.around})
            for (Way& way : *ways)
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
    const CorridorNet m_near, m_wide;
    std::vector<NodeIndex> m_new; ///< by old index; none where the node is not kept
};

} // namespace

Ground part_of(const Ground& ground, const Corridor& corridor) {
    return Part(ground, corridor).made();
}

} // namespace waywarden::map
