#include "survey/areas.hpp"

#include <algorithm>
#include <tuple>

namespace waywarden::survey {

namespace {

using Ring = std::vector<geo::Metres2>;

struct Rings {
    std::vector<Ring> rings;
    PlaneBox box;
};

Rings rings_of(const Scene& scene, const map::Area& area) {
    Rings out;
    const auto add = [&](const std::vector<geo::Position>& ring) {
        Ring& r = out.rings.emplace_back();
        r.reserve(ring.size());
        for (const geo::Position p : ring) {
            r.push_back(scene.frame().to_plane(p));
            out.box.add(r.back());
        }
    };
    for (const map::Area::Polygon& polygon : area.polygons) {
        add(polygon.outer);
        for (const auto& inner : polygon.inner)
            add(inner);
    }
    return out;
}

/// Even-odd rule over all rings: an inner ring takes its hole out.
bool inside(const Rings& rings, geo::Metres2 p) {
    if (!rings.box.holds(p)) return false;
    bool in = false;
    for (const Ring& ring : rings.rings)
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            const geo::Metres2 a = ring[i], b = ring[i + 1];
            if ((a.y_m > p.y_m) == (b.y_m > p.y_m)) continue;
            if (p.x_m < a.x_m + (b.x_m - a.x_m) * (p.y_m - a.y_m) / (b.y_m - a.y_m)) in = !in;
        }
    return in;
}

} // namespace

WalkPoint point_at(const Walk& walk, WalkPlace place) {
    const WalkPoint &a = walk.points[place.step], &b = walk.points[place.step + 1];
    WalkPoint out;
    out.at = a.at + place.share * (b.at - a.at);
    out.at_m = a.at_m + place.share * (b.at_m - a.at_m);
    out.position = {a.position.lon_deg + place.share * (b.position.lon_deg - a.position.lon_deg),
                    a.position.lat_deg + place.share * (b.position.lat_deg - a.position.lat_deg)};
    return out;
}

double metres_between(const Walk& walk, WalkPlace from, WalkPlace to) {
    double metres = 0;
    for (std::size_t i = from.step; i <= to.step && i < walk.steps.size(); ++i) {
        const double begin = i == from.step ? from.share : 0, end = i == to.step ? to.share : 1;
        metres += (end - begin) * geo::length_m(walk.points[i + 1].at - walk.points[i].at);
    }
    return metres;
}

WalkPlace middle_of(const Walk& walk, WalkPlace from, WalkPlace to) {
    double left_m = metres_between(walk, from, to) / 2;
    for (std::size_t i = from.step; i <= to.step && i < walk.steps.size(); ++i) {
        const double begin = i == from.step ? from.share : 0, end = i == to.step ? to.share : 1;
        const double step_m = geo::length_m(walk.points[i + 1].at - walk.points[i].at);
        if ((end - begin) * step_m >= left_m && step_m > 0) return {i, begin + left_m / step_m};
        left_m -= (end - begin) * step_m;
    }
    return to;
}

AreaFinder::AreaFinder(const Scene& scene) : m_scene(scene), m_steps(scene.cells().count()) {
    for (std::size_t w = 0; w < scene.walks().size(); ++w) {
        const Walk& walk = scene.walks()[w];
        for (std::size_t i = 0; i < walk.steps.size(); ++i) {
            PlaneBox box;
            box.add(walk.points[i].at);
            box.add(walk.points[i + 1].at);
            m_box.add(box.low);
            m_box.add(box.high);
            scene.cells().each(box, [&](std::size_t cell) { m_steps[cell].push_back({w, i}); });
        }
    }
}

std::vector<AreaSpan> AreaFinder::spans(const map::Area& area) const {
    const Rings rings = rings_of(m_scene, area);
    if (!rings.box.meets(m_box)) return {};
    std::vector<std::vector<WalkPlace>> cuts(m_scene.walks().size());
    const auto cut_with = [&](geo::Metres2 p, geo::Metres2 q, StepRef ref) {
        const Walk& walk = m_scene.walks()[ref.walk];
        const geo::Metres2 a = walk.points[ref.step].at, d = walk.points[ref.step + 1].at - a, e = q - p;
        const double denominator = geo::cross(d, e);
        if (denominator == 0) return;
        const double share = geo::cross(p - a, e) / denominator, along = geo::cross(p - a, d) / denominator;
        if (share >= 0 && share <= 1 && along >= 0 && along <= 1) cuts[ref.walk].push_back({ref.step, share});
    };
    for (const Ring& ring : rings.rings)
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            PlaneBox box;
            box.add(ring[i]);
            box.add(ring[i + 1]);
            m_scene.cells().each(box, [&](std::size_t cell) {
                for (const StepRef ref : m_steps[cell])
                    cut_with(ring[i], ring[i + 1], ref);
            });
        }
    std::vector<AreaSpan> out;
    for (std::size_t w = 0; w < cuts.size(); ++w) {
        const Walk& walk = m_scene.walks()[w];
        if (walk.steps.empty()) continue;
        auto& places = cuts[w];
        const WalkPlace begin{0, 0}, end{walk.steps.size() - 1, 1};
        if (places.empty()) {
            if (inside(rings, walk.points.front().at)) out.push_back({w, begin, end, true, true});
            continue;
        }
        places.push_back(begin);
        places.push_back(end);
        std::sort(places.begin(), places.end());
        // Between two cuts the walk is wholly inside or wholly outside: ask at the middle.
        for (std::size_t i = 0; i + 1 < places.size(); ++i) {
            if (metres_between(walk, places[i], places[i + 1]) < 1e-6) continue;
            if (!inside(rings, point_at(walk, middle_of(walk, places[i], places[i + 1])).at)) continue;
            const bool goes_on =
                !out.empty() && out.back().walk == w && metres_between(walk, out.back().to, places[i]) < 1e-6;
            if (goes_on)
                out.back().to = places[i + 1];
            else
                out.push_back({w, places[i], places[i + 1], places[i] == begin, false});
            out.back().ends_inside = places[i + 1] == end;
        }
    }
    return out;
}

} // namespace waywarden::survey
