#include "survey/water_edge.hpp"

#include "map/tag_words.hpp"
#include "survey/spots.hpp"
#include "survey/water.hpp"
#include "survey/way_facts.hpp"

#include <algorithm>
#include <cmath>

namespace waywarden::survey {

namespace {

constexpr double k_edge_m = 5, k_half_width_m = 4, k_widest_half_m = 50;
constexpr double k_step_m = 5, k_bridge_gap_m = 25, k_along_m = 50;

/// A place on the walk near the water.
struct Near {
    double at_m = 0, distance_m = 0;
    geo::Position position;
    const map::Object* water = nullptr;
};

bool is_underground(const map::Tags& tags) {
    return map::yes(tags, "tunnel") || tags.is("tunnel", "culvert") || tags.is("location", "underground");
}

/// How far from its middle line the water reaches; none where a walk beside it is no worry.
std::optional<double> half_width_m(const Scene& scene, map::WayIndex way) {
    const map::Tags& tags = scene.tags(way);
    if (tags.is("natural", "coastline")) return 0;
    if (!tags.is("waterway", "river") && !tags.is("waterway", "canal")) return std::nullopt;
    if (is_underground(tags) || map::yes(tags, "intermittent") || !map::lifecycle(tags).empty())
        return std::nullopt;
    const auto width_m = scene.facts(way).width_m;
    return width_m ? std::min(*width_m / 2, k_widest_half_m) : k_half_width_m;
}

class EdgeFinder {
  public:
    explicit EdgeFinder(const Scene& scene)
        : m_scene(scene), m_cells(scene.walks(), k_edge_m + k_widest_half_m), m_steps(m_cells.count()) {
        for (std::size_t w = 0; w < scene.walks().size(); ++w)
            for (std::size_t i = 0; i < scene.walks()[w].steps.size(); ++i) {
                const Walk& walk = scene.walks()[w];
                if (walk.steps[i].way && scene.role(*walk.steps[i].way) == LineRole::road) continue;
                PlaneBox box;
                box.add(walk.points[i].at);
                box.add(walk.points[i + 1].at);
                box.grow(k_edge_m + k_widest_half_m);
                m_cells.each(box, [&](std::size_t cell) { m_steps[cell].emplace_back(w, i); });
            }
    }

    void take(const map::Object& water, geo::Metres2 a, geo::Metres2 b, double half_m) {
        PlaneBox box;
        box.add(a);
        box.add(b);
        bool near = false;
        m_cells.each(box, [&](std::size_t cell) { near = near || !m_steps[cell].empty(); });
        if (!near) return;
        const int count = std::max(1, static_cast<int>(std::ceil(geo::length_m(b - a) / k_step_m)));
        for (int k = 0; k <= count; ++k)
            take_point(water, a + (static_cast<double>(k) / count) * (b - a), half_m);
    }

    std::vector<Spot> spots() && {
        std::sort(m_near.begin(), m_near.end(), [](const Near& a, const Near& b) {
            return a.at_m != b.at_m ? a.at_m < b.at_m : a.water->id < b.water->id;
        });
        std::vector<Spot> out;
        for (std::size_t from = 0; from < m_near.size();) {
            std::size_t to = from + 1;
            while (to < m_near.size() && m_near[to].at_m - m_near[to - 1].at_m <= k_bridge_gap_m)
                ++to;
            if (m_near[to - 1].at_m - m_near[from].at_m >= k_along_m) out.push_back(spot(from, to));
            from = to;
        }
        return out;
    }

  private:
    void take_point(const map::Object& water, geo::Metres2 p, double half_m) {
        PlaneBox box;
        box.add(p);
        m_cells.each(box, [&](std::size_t cell) {
            for (const auto& [w, i] : m_steps[cell]) {
                const WalkPoint &a = m_scene.walks()[w].points[i], &b = m_scene.walks()[w].points[i + 1];
                const auto here = geo::nearest_on_segment(p, a.at, b.at);
                if (here.distance_m > half_m + k_edge_m) continue;
                const WalkPoint at = point_at(m_scene.walks()[w], {i, here.fraction});
                m_near.push_back({at.at_m, std::max(0.0, here.distance_m - half_m), at.position, &water});
            }
        });
    }

    Spot spot(std::size_t from, std::size_t to) const {
        const auto begin = m_near.begin() + static_cast<std::ptrdiff_t>(from),
                   end = m_near.begin() + static_cast<std::ptrdiff_t>(to);
        const Near& nearest = *std::min_element(
            begin, end, [](const Near& a, const Near& b) { return a.distance_m < b.distance_m; });
        Spot out =
            spot_of("water_edge", begin->at_m, (end - 1)->at_m, nearest.position, nearest.distance_m, false);
        std::vector<const map::Object*> waters;
        for (auto at = begin; at != end; ++at)
            if (std::find(waters.begin(), waters.end(), at->water) == waters.end())
                waters.push_back(at->water);
        for (const map::Object* water : waters) {
            if (out.name.empty()) out.name = name_of(water->tags);
            out.evidence.push_back(evidence_of(*water));
        }
        set_text(out.facts, "name", out.name);
        out.facts.set("length_m", (end - 1)->at_m - begin->at_m);
        return out;
    }

    const Scene& m_scene;
    NearCells m_cells;
    std::vector<std::vector<std::pair<std::size_t, std::size_t>>> m_steps; ///< a cell: walk and step
    std::vector<Near> m_near;
};

} // namespace

void find_water_edges(const Scene& scene, std::vector<Spot>& out) {
    EdgeFinder finder(scene);
    for (std::size_t w = 0; w < scene.ground().ways.size(); ++w) {
        const auto way = static_cast<map::WayIndex>(w);
        if (scene.role(way) != LineRole::water && scene.role(way) != LineRole::coast) continue;
        const auto half_m = half_width_m(scene, way);
        if (!half_m) continue;
        const auto& nodes = scene.way(way).nodes;
        for (std::size_t i = 0; i + 1 < nodes.size(); ++i)
            finder.take(scene.way(way).object, scene.node_at(nodes[i]), scene.node_at(nodes[i + 1]), *half_m);
    }
    for (const map::Area& area : scene.ground().areas) {
        if (!is_water_area(area.object.tags) || is_tidal_ground(area.object.tags)) continue;
        for (const auto& polygon : area.polygons)
            for (std::size_t i = 0; i + 1 < polygon.outer.size(); ++i)
                finder.take(area.object, scene.frame().to_plane(polygon.outer[i]),
                            scene.frame().to_plane(polygon.outer[i + 1]), 0);
    }
    for (Spot& spot : std::move(finder).spots())
        out.push_back(std::move(spot));
}

} // namespace waywarden::survey
