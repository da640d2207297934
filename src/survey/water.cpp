#include "survey/water.hpp"

#include "survey/water_banks.hpp"

#include <algorithm>
#include <limits>

namespace waywarden::survey {

namespace {

struct CoastCut {
    WalkPlace place;
    bool to_land = false;
    map::WayIndex way = 0;
};

/// What a walk has to do with the coastline.
struct Coast {
    std::vector<CoastCut> cuts;
    std::vector<AreaSpan> along; ///< where the walk keeps to it, by steps that follow one another
};

Coast coast_of(const Scene& scene, std::size_t walk_index) {
    const Walk& walk = scene.walks()[walk_index];
    Coast out;
    std::vector<LinePiece> pieces;
    for (std::size_t i = 0; i < walk.steps.size(); ++i) {
        const geo::Metres2 a = walk.points[i].at, d = walk.points[i + 1].at - a;
        PlaneBox box;
        box.add(a);
        box.add(walk.points[i + 1].at);
        box.grow(k_on_edge_m);
        scene.near(box, pieces);
        Edges edges;
        for (const LinePiece piece : pieces) {
            if (scene.role(piece.way) != LineRole::coast) continue;
            const auto [p, q] = scene.ends(piece);
            edges.pieces.emplace_back(p, q);
            const double side_a = geo::cross(q - p, a - p), side_b = geo::cross(q - p, a + d - p);
            const double side_p = geo::cross(d, p - a), side_q = geo::cross(d, q - a);
            if ((side_a >= 0) == (side_b >= 0) || (side_p >= 0) == (side_q >= 0)) continue;
            out.cuts.push_back({{i, side_a / (side_a - side_b)}, side_b > side_a, piece.way});
        }
        if (edges.pieces.empty() || !edges.hold(a, walk.points[i + 1].at)) continue;
        if (!out.along.empty() && out.along.back().to == WalkPlace{i, 0})
            out.along.back().to = {i + 1, 0};
        else
            out.along.push_back({walk_index, {i, 0}, {i + 1, 0}});
    }
    // Cuts where it keeps to the coastline are chance; a little more, since they may be written as the end of
    // one step or the beginning of the next.
    std::erase_if(out.cuts, [&](const CoastCut& cut) {
        return std::any_of(out.along.begin(), out.along.end(), [&](const AreaSpan& along) {
            const bool before = cut.place.step + 1 == along.from.step && cut.place.share > 1 - 1e-6;
            const bool after = cut.place.step == along.to.step && cut.place.share < 1e-6;
            return before || after || (along.from <= cut.place && cut.place < along.to);
        });
    });
    std::sort(out.cuts.begin(), out.cuts.end(),
              [](const CoastCut& a, const CoastCut& b) { return a.place < b.place; });
    return out;
}

/// A piece of walk that never cuts the coastline is on land or at sea as a whole: the nearest piece of it
/// tells. Looks at every coastline the ground holds, since that may be farther than the cells reach.
std::optional<map::WayIndex> at_sea(const Scene& scene, geo::Metres2 p) {
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

/// The same where the walk keeps to the coastline for a while, which is on land: each piece between is at sea
/// or not by the cut at either end, and by where it lies where there is none.
void find_sea_beside_banks(const Scene& scene, std::size_t walk_index, const Coast& coast,
                           std::vector<WaterSpan>& out) {
    struct Stop {
        WalkPlace from, to;
        const CoastCut* cut = nullptr;
    };
    const Walk& walk = scene.walks()[walk_index];
    const WalkPlace begin{0, 0}, end{walk.steps.size() - 1, 1};
    std::vector<Stop> stops{{begin, begin}};
    for (const AreaSpan& along : coast.along)
        stops.push_back({along.from, std::min(along.to, end)});
    for (const CoastCut& cut : coast.cuts)
        stops.push_back({cut.place, cut.place, &cut});
    stops.push_back({end, end});
    std::stable_sort(stops.begin(), stops.end(),
                     [](const Stop& a, const Stop& b) { return a.from < b.from; });
    for (std::size_t i = 0; i + 1 < stops.size(); ++i) {
        const Stop &a = stops[i], &b = stops[i + 1];
        if (!(a.to < b.from) || metres_between(walk, a.to, b.from) < k_on_edge_m) continue;
        std::optional<map::WayIndex> sea;
        if (a.cut || b.cut) {
            if (a.cut ? !a.cut->to_land : b.cut->to_land) sea = (a.cut ? a.cut : b.cut)->way;
        } else {
            sea = at_sea(scene, point_at(walk, middle_of(walk, a.to, b.from)).at);
        }
        if (sea) out.push_back({{walk_index, a.to, b.from, a.to == begin, b.from == end}, nullptr, sea});
    }
}

void find_sea(const Scene& scene, std::size_t walk_index, std::vector<WaterSpan>& out) {
    const Walk& walk = scene.walks()[walk_index];
    if (walk.steps.empty()) return;
    const Coast coast_line = coast_of(scene, walk_index);
    const auto& cuts = coast_line.cuts;
    if (!coast_line.along.empty()) {
        find_sea_beside_banks(scene, walk_index, coast_line, out);
        return;
    }
    const WalkPlace begin{0, 0}, end{walk.steps.size() - 1, 1};
    if (cuts.empty()) {
        if (const auto coast = at_sea(scene, walk.points.front().at))
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

/// Whether what is the edge of one water is that of another too: a lake or river drawn in parts.
bool is_between_waters(const Scene& scene, const map::Area& water, const AreaSpan& on_edge) {
    const WalkPoint middle = point_at(scene.walks()[on_edge.walk],
                                      middle_of(scene.walks()[on_edge.walk], on_edge.from, on_edge.to));
    PlaneBox here;
    here.add(middle.at);
    return std::any_of(scene.ground().areas.begin(), scene.ground().areas.end(), [&](const map::Area& other) {
        return &other != &water && is_water_area(other.object.tags) &&
               edges_near(scene, other, here).hold(middle.at, middle.at);
    });
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
    if (map::yes(tags, "covered") || tags.is("location", "underground")) return false; // one walks on the lid
    // dry but after rain (OSM wiki, Key:basin, from memory)
    if (tags.is("basin", "infiltration") || tags.is("basin", "detention")) return false;
    if (tags.is("natural", "water")) return !tags.is("water", "wastewater") || tags.has("name");
    return waterway == "riverbank" || waterway == "dock" || landuse == "reservoir" || landuse == "basin" ||
           golf == "water_hazard" || golf == "lateral_water_hazard" || is_tidal_ground(tags);
}

std::vector<WaterSpan> find_water_spans(const Scene& scene, const AreaFinder& finder) {
    std::vector<WaterSpan> out;
    for (const map::Area& area : scene.ground().areas) {
        if (!is_water_area(area.object.tags)) continue;
        for (const AreaSpan& span : finder.spans(area)) {
            const SplitSpan split = split_at_edge(scene, area, span);
            for (const AreaSpan& within : split.within)
                out.push_back({within, &area, std::nullopt});
            for (const AreaSpan& on_edge : split.on_edge)
                if (is_between_waters(scene, area, on_edge)) out.push_back({on_edge, &area, std::nullopt});
        }
    }
    for (std::size_t w = 0; w < scene.walks().size(); ++w)
        find_sea(scene, w, out);
    return out;
}

} // namespace waywarden::survey
