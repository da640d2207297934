#include "survey/water_banks.hpp"

#include <algorithm>
#include <cmath>

namespace waywarden::survey {

namespace {

constexpr double k_sample_m = 5;

PlaneBox box_of(const Walk& walk, const AreaSpan& span) {
    PlaneBox box;
    box.add(point_at(walk, span.from).at);
    box.add(point_at(walk, span.to).at);
    for (std::size_t i = span.from.step + 1; i <= span.to.step; ++i)
        box.add(walk.points[i].at);
    return box;
}

} // namespace

bool Edges::hold(geo::Metres2 a, geo::Metres2 b) const {
    const int count = std::max(2, static_cast<int>(std::ceil(geo::length_m(b - a) / k_sample_m)));
    for (int k = 0; k <= count; ++k) {
        const geo::Metres2 p = a + (static_cast<double>(k) / count) * (b - a);
        if (std::none_of(pieces.begin(), pieces.end(), [&](const auto& edge) {
                return geo::nearest_on_segment(p, edge.first, edge.second).distance_m <= k_on_edge_m;
            }))
            return false;
    }
    return true;
}

Edges edges_near(const Scene& scene, const map::Area& area, PlaneBox box) {
    box.grow(k_on_edge_m);
    Edges out;
    const auto add = [&](const std::vector<geo::Position>& ring) {
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            const geo::Metres2 a = scene.frame().to_plane(ring[i]), b = scene.frame().to_plane(ring[i + 1]);
            PlaneBox edge;
            edge.add(a);
            edge.add(b);
            if (edge.meets(box)) out.pieces.emplace_back(a, b);
        }
    };
    for (const map::Area::Polygon& polygon : area.polygons) {
        add(polygon.outer);
        for (const auto& inner : polygon.inner)
            add(inner);
    }
    return out;
}

SplitSpan split_at_edge(const Scene& scene, const map::Area& area, const AreaSpan& span) {
    const Walk& walk = scene.walks()[span.walk];
    const Edges edges = edges_near(scene, area, box_of(walk, span));
    const auto keeps_to_edge = [&](std::size_t step) {
        const WalkPlace from{step, step == span.from.step ? span.from.share : 0};
        const WalkPlace to{step, step == span.to.step ? span.to.share : 1};
        return edges.hold(point_at(walk, from).at, point_at(walk, to).at);
    };
    AreaSpan within = span;
    while (within.from.step < span.to.step && keeps_to_edge(within.from.step))
        within.from = {within.from.step + 1, 0};
    SplitSpan out;
    if (within.from.step == span.to.step && keeps_to_edge(span.to.step)) {
        out.on_edge.push_back(span);
        return out;
    }
    while (within.to.step > within.from.step && keeps_to_edge(within.to.step))
        within.to = {within.to.step - 1, 1};
    if (span.from < within.from) {
        out.on_edge.push_back({span.walk, span.from, within.from, span.starts_inside, false});
        within.starts_inside = false;
    }
    if (within.to < span.to) {
        out.on_edge.push_back({span.walk, within.to, span.to, false, span.ends_inside});
        within.ends_inside = false;
    }
    out.within.push_back(within);
    return out;
}

std::vector<AreaSpan> spans_within(const Scene& scene, const AreaFinder& finder, const map::Area& area) {
    std::vector<AreaSpan> out;
    for (const AreaSpan& span : finder.spans(area))
        for (const AreaSpan& within : split_at_edge(scene, area, span).within)
            out.push_back(within);
    return out;
}

} // namespace waywarden::survey
