#include "survey/spots.hpp"
#include "survey/water.hpp"
#include "survey/water_banks.hpp"
#include "survey/way_facts.hpp"

#include <algorithm>
#include <cmath>
#include <map>

namespace waywarden::survey {

namespace {

/// Source of the distance: none published; common practice.
constexpr double k_edge_m = 10;
constexpr double k_sample_m = 2.5;
/// Ground that the tide covers is told of from farther: common practice, no source.
constexpr double k_tide_m = 25;

/// A place on the walk with its steps' way, every few metres.
template <typename Use> void each_sample(const Walk& walk, Use use) {
    for (std::size_t i = 0; i < walk.steps.size(); ++i) {
        const double length_m = geo::length_m(walk.points[i + 1].at - walk.points[i].at);
        const int count = static_cast<int>(std::ceil(length_m / k_sample_m));
        for (int k = 0; k < count; ++k)
            use(i, point_at(walk, {i, static_cast<double>(k) / count}));
    }
    if (!walk.steps.empty()) use(walk.steps.size() - 1, walk.points.back());
}

/// Grows runs of samples that lie near an edge.
struct Run {
    double from_m = 0, to_m = 0, least_m = 0;
    geo::Position nearest;
    bool off_path = false;
};

class Runs {
  public:
    void add(map::WayIndex edge, const WalkPoint& p, double distance_m, bool off_path) {
        auto& runs = m_runs[edge];
        if (runs.empty() || p.at_m - runs.back().to_m > 2 * k_edge_m) {
            runs.push_back({p.at_m, p.at_m, distance_m, p.position, off_path});
            return;
        }
        Run& run = runs.back();
        run.to_m = p.at_m;
        run.off_path = run.off_path || off_path;
        if (distance_m < run.least_m) {
            run.least_m = distance_m;
            run.nearest = p.position;
        }
    }
    const std::map<map::WayIndex, std::vector<Run>>& all() const { return m_runs; }

  private:
    std::map<map::WayIndex, std::vector<Run>> m_runs;
};

Spot edge_spot(std::string_view kind, const Run& run, const map::Object& object) {
    // Half a sample is what the walk may come nearer, or cut the edge, between two samples.
    Spot out = spot_of(kind, run.from_m, run.to_m, run.nearest, run.least_m, run.least_m < k_sample_m / 2);
    out.name = name_of(object.tags);
    set_text(out.facts, "name", out.name);
    out.facts.set("off_path", run.off_path);
    out.evidence.push_back(evidence_of(object));
    return out;
}

void find_cliffs(const Scene& scene, std::vector<Spot>& out) {
    for (const Walk& walk : scene.walks()) {
        Runs runs;
        std::vector<LinePiece> pieces;
        each_sample(walk, [&](std::size_t step, const WalkPoint& p) {
            PlaneBox box;
            box.add(p.at);
            box.grow(k_edge_m);
            scene.near(box, pieces);
            std::map<map::WayIndex, double> nearest;
            for (const LinePiece piece : pieces) {
                if (scene.role(piece.way) != LineRole::cliff) continue;
                const auto [a, b] = scene.ends(piece);
                const double distance_m = geo::nearest_on_segment(p.at, a, b).distance_m;
                const auto known = nearest.emplace(piece.way, distance_m).first;
                known->second = std::min(known->second, distance_m);
            }
            for (const auto& [way, distance_m] : nearest)
                if (distance_m <= k_edge_m) runs.add(way, p, distance_m, !walk.steps[step].way);
        });
        for (const auto& [way, list] : runs.all())
            for (const Run& run : list)
                out.push_back(edge_spot("cliff", run, scene.way(way).object));
    }
}

/// The rim of a quarry, or the edge of tidal ground, that the walk passes on the outside; within one it is an
/// area of its own.
void find_rims(const Scene& scene, const map::Area& area, std::string_view kind, double reach_m,
               std::vector<Spot>& out) {
    std::vector<geo::Metres2> ring;
    for (const auto& polygon : area.polygons) {
        ring.clear();
        PlaneBox box;
        for (const geo::Position p : polygon.outer) {
            ring.push_back(scene.frame().to_plane(p));
            box.add(ring.back());
        }
        box.grow(reach_m);
        for (const Walk& walk : scene.walks()) {
            Runs runs;
            each_sample(walk, [&](std::size_t step, const WalkPoint& p) {
                if (!box.holds(p.at)) return;
                double best_m = reach_m + 1;
                for (std::size_t i = 0; i + 1 < ring.size(); ++i)
                    best_m = std::min(best_m, geo::nearest_on_segment(p.at, ring[i], ring[i + 1]).distance_m);
                if (best_m <= reach_m) runs.add(0, p, best_m, !walk.steps[step].way);
            });
            for (const auto& [ignored, list] : runs.all())
                for (const Run& run : list) {
                    out.push_back(edge_spot(kind, run, area.object));
                    // a path that keeps to the edge of a tidal flat is not on it
                    if (kind == "tidal_area") out.back().facts.set("within", false);
                }
        }
    }
}

} // namespace

void find_edge_spots(const Scene& scene, const AreaFinder& finder, std::vector<Spot>& out) {
    find_cliffs(scene, out);
    for (const map::Area& area : scene.ground().areas) {
        const bool quarry = area.object.tags.is("landuse", "quarry");
        if (!quarry && !is_tidal_ground(area.object.tags)) continue;
        if (!(quarry ? finder.spans(area) : spans_within(scene, finder, area)).empty()) continue;
        find_rims(scene, area, quarry ? "quarry" : "tidal_area", quarry ? k_edge_m : k_tide_m, out);
    }
}

} // namespace waywarden::survey
