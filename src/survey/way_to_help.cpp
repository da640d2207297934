#include "survey/way_to_help.hpp"

#include "survey/remoteness.hpp"
#include "survey/way_facts.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <queue>

namespace waywarden::survey {

namespace {

constexpr double k_far = std::numeric_limits<double>::infinity();

/// The nodes of paths and of the walk as a graph; a place of the walk off all nodes is a vertex of its own.
class Ways {
  public:
    explicit Ways(const Scene& scene) : m_scene(scene) {
        for (const auto* ways : {&scene.ground().ways, &scene.ground().around})
            for (const map::Way& way : *ways)
                add(way);
        for (const Walk& walk : scene.walks())
            add(walk);
        // Whatever lies in a gap of the line is walked too, as straight as can be.
        for (std::size_t w = 0; w + 1 < m_walk_vertices.size(); ++w)
            join(m_walk_vertices[w].back(), m_walk_vertices[w + 1].front(),
                 geo::length_m(scene.walks()[w + 1].points.front().at - scene.walks()[w].points.back().at));
    }

    /// Help is at hand where the walk crosses a road, also in the middle of a step over open ground.
    void start_from(const Hit& hit) {
        const Walk& walk = m_scene.walks()[hit.walk];
        const StepRange steps = steps_between(walk, hit.at_m, hit.at_m);
        for (std::size_t i = steps.first; i < steps.end; ++i) {
            const WalkPoint &a = walk.points[i], &b = walk.points[i + 1];
            if (hit.at_m < a.at_m || hit.at_m > b.at_m) continue;
            m_starts.emplace_back(m_walk_vertices[hit.walk][i], hit.at_m - a.at_m);
            m_starts.emplace_back(m_walk_vertices[hit.walk][i + 1], b.at_m - hit.at_m);
            m_crossed.push_back({hit.walk, i, (hit.at_m - a.at_m) / std::max(b.at_m - a.at_m, 1e-9)});
            return;
        }
    }

    /// Roads crossed within a step of a walk, as shares of it.
    std::vector<double> crossed(std::size_t walk, std::size_t step) const {
        std::vector<double> out;
        for (const Crossed& one : m_crossed)
            if (one.walk == walk && one.step == step) out.push_back(one.share);
        std::sort(out.begin(), out.end());
        return out;
    }

    /// Metres from the nearest start to every point of the walks.
    std::vector<std::vector<double>> metres() {
        // Edges in order of where they leave, by counting.
        std::vector<std::uint32_t> first(m_count + 1, 0), order(m_edges.size());
        for (const Edge& edge : m_edges)
            ++first[edge.from + 1];
        for (std::uint32_t v = 0; v < m_count; ++v)
            first[v + 1] += first[v];
        auto next = first;
        for (std::uint32_t e = 0; e < m_edges.size(); ++e)
            order[next[m_edges[e].from]++] = e;
        std::vector<double> best(m_count, k_far);
        using Entry = std::pair<double, std::uint32_t>;
        std::priority_queue<Entry, std::vector<Entry>, std::greater<>> open;
        const auto reach = [&](std::uint32_t at, double metres) {
            if (metres >= best[at]) return;
            best[at] = metres;
            if (first[at] < first[at + 1]) open.emplace(metres, at); // most starts are roads off all paths
        };
        for (const auto& [at, metres] : m_starts)
            reach(at, metres);
        while (!open.empty()) {
            const auto [metres, at] = open.top();
            open.pop();
            if (metres > best[at]) continue;
            for (std::uint32_t e = first[at]; e < first[at + 1]; ++e)
                reach(m_edges[order[e]].to, metres + m_edges[order[e]].length_m);
        }
        std::vector<std::vector<double>> out;
        for (const auto& vertices : m_walk_vertices) {
            out.emplace_back();
            for (const std::uint32_t v : vertices)
                out.back().push_back(best[v]);
        }
        return out;
    }

  private:
    void add(const map::Way& way) {
        const map::Tags& tags = way.object.tags;
        const LineRole role = role_of(tags);
        if (role != LineRole::path && role != LineRole::road) return;
        if (ambulance_can_use(tags)) {
            for (const map::NodeIndex node : way.nodes)
                m_starts.emplace_back(vertex(node), 0.0);
        } else if (map::highway_class(tags) != "motorway" && map::lifecycle(tags).empty()) {
            for (std::size_t i = 0; i + 1 < way.nodes.size(); ++i)
                join(vertex(way.nodes[i]), vertex(way.nodes[i + 1]),
                     geo::length_m(m_scene.node_at(way.nodes[i + 1]) - m_scene.node_at(way.nodes[i])));
        }
    }

    struct Edge {
        std::uint32_t from, to;
        double length_m;
    };

    /// Only nodes of paths and roads are vertices: most nodes of a map are of neither.
    std::uint32_t vertex(map::NodeIndex node) {
        if (m_vertex.empty()) m_vertex.assign(m_scene.ground().nodes.size(), k_none);
        if (m_vertex[node] == k_none) m_vertex[node] = m_count++;
        return m_vertex[node];
    }

    void join(std::uint32_t a, std::uint32_t b, double length_m) {
        m_edges.push_back({a, b, length_m});
        m_edges.push_back({b, a, length_m});
    }

    void add(const Walk& walk) {
        auto& vertices = m_walk_vertices.emplace_back();
        for (std::size_t i = 0; i < walk.points.size(); ++i) {
            const WalkPoint& p = walk.points[i];
            vertices.push_back(p.node == map::k_no_node ? m_count++ : vertex(p.node));
            if (i > 0) join(vertices[i - 1], vertices[i], geo::length_m(p.at - walk.points[i - 1].at));
            // In the middle of a road there is no node, and none is needed.
            const auto on_road = [&](std::size_t step) {
                return step < walk.steps.size() && walk.steps[step].way &&
                       ambulance_can_use(m_scene.tags(*walk.steps[step].way));
            };
            if (on_road(i) || (i > 0 && on_road(i - 1))) m_starts.emplace_back(vertices[i], 0.0);
            // Nor in the middle of a path, where the walk begins or ends: its neighbours on the path are
            // near.
            if (p.node == map::k_no_node && i == 0 && !walk.steps.empty())
                join_way(walk.steps[0].way, p, vertices[i]);
            if (p.node == map::k_no_node && i > 0 && i + 1 == walk.points.size())
                join_way(walk.steps[i - 1].way, p, vertices[i]);
        }
    }

    void join_way(std::optional<map::WayIndex> way, const WalkPoint& p, std::uint32_t at) {
        if (!way) return;
        const auto& nodes = m_scene.way(*way).nodes;
        std::size_t best = 0;
        double best_m = k_far;
        for (std::size_t i = 0; i + 1 < nodes.size(); ++i) {
            const double m =
                geo::nearest_on_segment(p.at, m_scene.node_at(nodes[i]), m_scene.node_at(nodes[i + 1]))
                    .distance_m;
            if (m < best_m) best_m = m, best = i;
        }
        for (const std::size_t i : {best, best + 1})
            join(at, vertex(nodes[i]), geo::length_m(m_scene.node_at(nodes[i]) - p.at));
    }

    struct Crossed {
        std::size_t walk, step;
        double share;
    };
    static constexpr std::uint32_t k_none = std::numeric_limits<std::uint32_t>::max();
    const Scene& m_scene;
    std::uint32_t m_count = 0;
    std::vector<std::uint32_t> m_vertex;
    std::vector<Edge> m_edges;
    std::vector<std::pair<std::uint32_t, double>> m_starts;
    std::vector<std::vector<std::uint32_t>> m_walk_vertices;
    std::vector<Crossed> m_crossed;
};

/// The pieces of one step of a walk between places where help comes.
void add_pieces(const Scene& scene, const Ways& ways, const std::vector<std::vector<double>>& metres,
                std::size_t w, std::size_t step, std::vector<HelpPiece>& out) {
    const Walk& walk = scene.walks()[w];
    const double length_m = geo::length_m(walk.points[step + 1].at - walk.points[step].at);
    const auto& way = walk.steps[step].way;
    if (way && ambulance_can_use(scene.tags(*way))) {
        out.push_back({w, step, 0, 1, 0, 0, 0});
        return;
    }
    std::vector<double> shares = ways.crossed(w, step);
    shares.push_back(1);
    double from = 0, from_m = metres[w][step];
    for (const double share : shares) {
        const double to_m = share < 1 ? 0 : metres[w][step + 1];
        out.push_back({w, step, from, share, (share - from) * length_m, from_m, to_m});
        from = share;
        from_m = to_m;
    }
}

} // namespace

double HelpPiece::farthest_share() const {
    if (std::isinf(from_m) || std::isinf(to_m) || length_m <= 0) return 0.5;
    return std::clamp((to_m - from_m + length_m) / (2 * length_m), 0.0, 1.0);
}

double HelpPiece::metres_at(double share) const {
    return std::min(from_m + share * length_m, to_m + (1 - share) * length_m);
}

std::vector<HelpPiece> ways_to_help(const Scene& scene, const std::vector<Hit>& hits) {
    Ways ways(scene);
    for (const Hit& hit : hits)
        if (hit.of == CrossingOf::road && hit.way && ambulance_can_use(scene.tags(*hit.way)) &&
            (hit.means == Means::level || hit.means == Means::none))
            ways.start_from(hit);
    const auto metres = ways.metres();
    std::vector<HelpPiece> out;
    for (std::size_t w = 0; w < scene.walks().size(); ++w)
        for (std::size_t step = 0; step + 1 < scene.walks()[w].points.size(); ++step)
            add_pieces(scene, ways, metres, w, step, out);
    return out;
}

} // namespace waywarden::survey
