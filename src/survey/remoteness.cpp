#include "survey/remoteness.hpp"

#include "survey/areas.hpp"
#include "survey/spots.hpp"
#include "survey/way_facts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <limits>
#include <queue>
#include <unordered_map>

namespace waywarden::survey {

namespace {

constexpr double k_far = std::numeric_limits<double>::infinity();
constexpr double k_metres_per_min = k_help_pace_kmh * 1000 / 60;

bool is_among(std::string_view word, std::initializer_list<std::string_view> words) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

/// The word on vehicles that is closest to an ambulance.
std::string_view vehicle_word(const map::Tags& tags) {
    for (const auto* key : {"emergency", "motor_vehicle", "vehicle", "access"})
        if (tags.has(key)) return tags.get(key);
    return "";
}

/// The nodes of paths and of the walk as a graph; a place of the walk off all nodes is a vertex of its own.
class Ways {
  public:
    explicit Ways(const Scene& scene) : m_scene(scene) {
        const auto& ground = scene.ground();
        for (map::WayIndex w = 0; w < ground.ways.size(); ++w) {
            if (scene.role(w) != LineRole::path && scene.role(w) != LineRole::road) continue;
            const auto& nodes = ground.ways[w].nodes;
            if (ambulance_can_use(scene.tags(w))) {
                for (const map::NodeIndex node : nodes)
                    m_starts.emplace_back(vertex(node), 0.0);
            } else if (map::highway_class(scene.tags(w)) != "motorway" &&
                       map::lifecycle(scene.tags(w)).empty()) {
                for (std::size_t i = 0; i + 1 < nodes.size(); ++i)
                    join(vertex(nodes[i]), vertex(nodes[i + 1]),
                         geo::length_m(scene.node_at(nodes[i + 1]) - scene.node_at(nodes[i])));
            }
        }
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
        for (std::size_t i = 0; i + 1 < walk.points.size(); ++i) {
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
            open.emplace(metres, at);
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

struct Farthest {
    double metres = -1, at_m = 0;
    geo::Position position;
};

/// Between two places of a straight piece the farthest is where both ways out are equally long; as a share.
double farthest_share(double a_m, double b_m, double length_m) {
    if (a_m == k_far || b_m == k_far || length_m <= 0) return 0.5;
    return std::clamp((b_m - a_m + length_m) / (2 * length_m), 0.0, 1.0);
}

Farthest farthest_of(const Scene& scene, Ways& ways) {
    const auto metres = ways.metres();
    Farthest out;
    for (std::size_t w = 0; w < scene.walks().size(); ++w) {
        const Walk& walk = scene.walks()[w];
        for (std::size_t i = 0; i + 1 < walk.points.size(); ++i) {
            const double length_m = geo::length_m(walk.points[i + 1].at - walk.points[i].at);
            const auto& way = walk.steps[i].way;
            if (way && ambulance_can_use(scene.tags(*way))) {
                if (out.metres < 0) out = {0, walk.points[i].at_m, walk.points[i].position};
                continue;
            }
            std::vector<double> shares = ways.crossed(w, i);
            shares.push_back(1);
            double from = 0, from_m = metres[w][i];
            for (const double share : shares) {
                const double to_m = share < 1 ? 0 : metres[w][i + 1], piece_m = (share - from) * length_m;
                const double part = farthest_share(from_m, to_m, piece_m);
                const double here_m = std::min(from_m + part * piece_m, to_m + (1 - part) * piece_m);
                if (here_m > out.metres) {
                    const WalkPoint p = point_at(walk, {i, from + part * (share - from)});
                    out = {here_m, p.at_m, p.position};
                }
                from = share;
                from_m = to_m;
            }
        }
    }
    return out;
}

} // namespace

bool ambulance_can_use(const map::Tags& tags) {
    if (map::line_kind(tags) == map::LineKind::other || !map::lifecycle(tags).empty()) return false;
    std::string_view road = tags.get("highway");
    if (road.ends_with("_link")) road.remove_suffix(5);
    const std::string_view word = vehicle_word(tags);
    if (is_among(road, {"trunk", "primary", "secondary", "tertiary", "unclassified", "residential",
                        "living_street"}))
        return !is_among(word, {"no", "private", "agricultural", "forestry", "military"});
    if (road == "service" && word.empty()) return true;
    return is_among(road, {"service", "track"}) &&
           is_among(word, {"yes", "designated", "permissive", "official"});
}

void find_farthest_from_road(const Scene& scene, const std::vector<Hit>& hits, const Given& given,
                             Survey& out) {
    if (scene.walks().empty()) return;
    Ways ways(scene);
    for (const Hit& hit : hits)
        if (hit.of == CrossingOf::road && hit.way && ambulance_can_use(scene.tags(*hit.way)) &&
            (hit.means == Means::level || hit.means == Means::none))
            ways.start_from(hit);
    const Farthest farthest = farthest_of(scene, ways);
    if (farthest.metres < 0) return;
    Spot spot = spot_of("farthest_from_road", farthest.at_m, farthest.at_m, farthest.position, 0, true);
    if (farthest.metres < k_far) {
        const double minutes = farthest.metres / k_metres_per_min;
        spot.facts.set("farthest_from_road_min", minutes);
        out.route_facts.set("farthest_from_road_min", minutes);
        out.route_facts.set("farthest_from_road_at_m", farthest.at_m);
    } else {
        spot.facts.set_unknown("farthest_from_road_min");
        out.route_facts.set_unknown("farthest_from_road_min");
    }
    set_text(spot.facts, "detail",
             fmt::format("at {:.0f} km/h along mapped paths and the line itself, among the roads read within "
                         "{:.0f} m of the route",
                         k_help_pace_kmh, given.map_reach_m));
    out.spots.push_back(std::move(spot));
}

void count_escapes(const Scene& scene, Survey& out) {
    std::vector<map::NodeIndex> places;
    for (const Walk& walk : scene.walks())
        for (std::size_t i = 0; i < walk.points.size(); ++i) {
            const map::NodeIndex node = walk.points[i].node;
            if (node == map::k_no_node) continue;
            const auto is_walked = [&](map::WayIndex way) {
                return (i > 0 && walk.steps[i - 1].way == way) ||
                       (i < walk.steps.size() && walk.steps[i].way == way);
            };
            for (const map::WayIndex way : scene.ways_at(node)) {
                const LineRole role = scene.role(way);
                if ((role != LineRole::path && role != LineRole::road) || is_walked(way)) continue;
                const auto& facts = scene.facts(way);
                if (!facts.lifecycle.empty() || facts.access == map::Access::motorway ||
                    facts.right.right == map::Right::forbidden || facts.right.right == map::Right::restricted)
                    continue;
                places.push_back(node);
                break;
            }
        }
    std::sort(places.begin(), places.end());
    places.erase(std::unique(places.begin(), places.end()), places.end());
    const auto count = static_cast<double>(places.size());
    out.route_facts.set("escape_places", count);
    if (out.length_m > 0) out.route_facts.set("escape_places_per_km", count / (out.length_m / 1000));
}

} // namespace waywarden::survey
