#include "survey/water.hpp"

#include <algorithm>
#include <limits>

namespace waywarden::survey {

namespace {

struct CoastCut {
    WalkPlace place;
    bool to_land = false;
    map::WayIndex way = 0;
};

std::vector<CoastCut> coast_cuts(const Scene& scene, const Walk& walk) {
    std::vector<CoastCut> out;
    std::vector<LinePiece> pieces;
    for (std::size_t i = 0; i < walk.steps.size(); ++i) {
        const geo::Metres2 a = walk.points[i].at, d = walk.points[i + 1].at - a;
        PlaneBox box;
        box.add(a);
        box.add(walk.points[i + 1].at);
        scene.near(box, pieces);
        for (const LinePiece piece : pieces) {
            if (scene.role(piece.way) != LineRole::coast) continue;
            const auto [p, q] = scene.ends(piece);
            const double side_a = geo::cross(q - p, a - p), side_b = geo::cross(q - p, a + d - p);
            const double side_p = geo::cross(d, p - a), side_q = geo::cross(d, q - a);
            if ((side_a >= 0) == (side_b >= 0) || (side_p >= 0) == (side_q >= 0)) continue;
            out.push_back({{i, side_a / (side_a - side_b)}, side_b > side_a, piece.way});
        }
    }
    std::sort(out.begin(), out.end(), [](const CoastCut& a, const CoastCut& b) { return a.place < b.place; });
    return out;
}

/// A walk that never cuts the coastline is on land or at sea as a whole: the nearest piece of it tells.
/// Looks at every coastline the ground holds, since that may be farther than the cells reach.
std::optional<map::WayIndex> at_sea_all_along(const Scene& scene, const Walk& walk) {
    const geo::Metres2 p = walk.points.front().at;
    double best_m = std::numeric_limits<double>::infinity();
    std::optional<map::WayIndex> sea;
    for (map::WayIndex w = 0; w < scene.ground().ways.size(); ++w) {
        if (scene.role(w) != LineRole::coast) continue;
        const auto& nodes = scene.way(w).nodes;
        for (std::size_t i = 0; i + 1 < nodes.size(); ++i) {
            const geo::Metres2 a = scene.node_at(nodes[i]), b = scene.node_at(nodes[i + 1]);
            const auto near = geo::nearest_on_segment(p, a, b);
            const bool right = geo::cross(b - a, p - a) < 0;
            if (near.distance_m >= best_m - 1e-6) continue;
            best_m = near.distance_m;
            sea = right ? std::optional(w) : std::nullopt;
        }
    }
    return sea;
}

void find_sea(const Scene& scene, std::size_t walk_index, std::vector<WaterSpan>& out) {
    const Walk& walk = scene.walks()[walk_index];
    if (walk.steps.empty()) return;
    const auto cuts = coast_cuts(scene, walk);
    const WalkPlace begin{0, 0}, end{walk.steps.size() - 1, 1};
    if (cuts.empty()) {
        if (const auto coast = at_sea_all_along(scene, walk))
            out.push_back({{walk_index, begin, end, true, true}, nullptr, coast});
        return;
    }
    if (cuts.front().to_land)
        out.push_back({{walk_index, begin, cuts.front().place, true, false}, nullptr, cuts.front().way});
    for (std::size_t i = 0; i < cuts.size(); ++i) {
        if (cuts[i].to_land) continue;
        const bool last = i + 1 == cuts.size();
        out.push_back(
            {{walk_index, cuts[i].place, last ? end : cuts[i + 1].place, false, last}, nullptr, cuts[i].way});
    }
}

} // namespace

bool is_tidal_ground(const map::Tags& tags) {
    if (tags.is("wetland", "tidalflat")) return true;
    const auto natural = tags.get("natural");
    if (natural == "shoal" || natural == "mud") return !tags.is("tidal", "no");
    return tags.is("tidal", "yes") && !natural.empty() && natural != "water";
}

bool is_water_area(const map::Tags& tags) {
    const auto waterway = tags.get("waterway"), landuse = tags.get("landuse"), golf = tags.get("golf");
    if (tags.is("natural", "water")) return !tags.is("water", "wastewater") || tags.has("name");
    return waterway == "riverbank" || waterway == "dock" || landuse == "reservoir" || landuse == "basin" ||
           golf == "water_hazard" || golf == "lateral_water_hazard" || is_tidal_ground(tags);
}

std::vector<WaterSpan> find_water_spans(const Scene& scene, const AreaFinder& finder) {
    std::vector<WaterSpan> out;
    for (const map::Area& area : scene.ground().areas) {
        if (!is_water_area(area.object.tags)) continue;
        for (const AreaSpan& span : finder.spans(area))
            out.push_back({span, &area, std::nullopt});
    }
    for (std::size_t w = 0; w < scene.walks().size(); ++w)
        find_sea(scene, w, out);
    return out;
}

} // namespace waywarden::survey
