#include "survey/areas.hpp"

#include <algorithm>
#include <tuple>

namespace waywarden::survey {

namespace {

/// Over more steps than these their metres are looked up, not added: rounding then differs, which matters to
/// nothing but a walk along the very edge of an area.
constexpr std::size_t k_few_steps = 1000;

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

/// Where a step from a to b comes nearest to the edge from p to q, which it does not cross.
std::pair<double, double> nearest_to_edge(geo::Metres2 a, geo::Metres2 b, geo::Metres2 p, geo::Metres2 q) {
    std::pair<double, double> best{geo::nearest_on_segment(a, p, q).distance_m,
                                   0}; // metres, share of the step
    best = std::min(best, {geo::nearest_on_segment(b, p, q).distance_m, 1});
    for (const geo::Metres2 corner : {p, q}) {
        const auto near = geo::nearest_on_segment(corner, a, b);
        best = std::min(best, {near.distance_m, near.fraction});
    }
    return best;
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

AreaFinder::AreaFinder(const Scene& scene) : m_scene(scene), m_steps(scene.walks(), scene.cells(), 0) {
    for (std::size_t w = 0; w < scene.walks().size(); ++w) {
        const Walk& walk = scene.walks()[w];
        auto& metres_to = m_metres_to.emplace_back(1, 0.0);
        for (std::size_t i = 0; i < walk.steps.size(); ++i) {
            metres_to.push_back(metres_to.back() + geo::length_m(walk.points[i + 1].at - walk.points[i].at));
            m_box.add(walk.points[i].at);
            m_box.add(walk.points[i + 1].at);
        }
    }
}

std::optional<AreaBeside> AreaFinder::beside(const map::Area& area, double within_m) const {
    const Rings rings = rings_of(m_scene, area);
    std::optional<AreaBeside> best;
    for (const Ring& ring : rings.rings)
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            PlaneBox box;
            box.add(ring[i]);
            box.add(ring[i + 1]);
            box.grow(within_m);
            m_steps.each(box, [&](std::size_t walk, std::size_t step) {
                const auto& points = m_scene.walks()[walk].points;
                const auto [metres, share] =
                    nearest_to_edge(points[step].at, points[step + 1].at, ring[i], ring[i + 1]);
                if (metres <= within_m && (!best || metres < best->distance_m))
                    best = {walk, {step, share}, metres};
            });
        }
    return best;
}

double AreaFinder::metres_to(std::size_t walk, WalkPlace place) const {
    const auto& to = m_metres_to[walk];
    return to[place.step] + place.share * (to[place.step + 1] - to[place.step]);
}

WalkPlace AreaFinder::middle_between(std::size_t walk, WalkPlace from, WalkPlace to) const {
    if (to.step - from.step <= k_few_steps) return middle_of(m_scene.walks()[walk], from, to);
    const double middle_m = (metres_to(walk, from) + metres_to(walk, to)) / 2;
    const auto& ends = m_metres_to[walk];
    const auto first = ends.begin() + static_cast<std::ptrdiff_t>(from.step) + 1;
    const auto end =
        std::lower_bound(first, ends.begin() + static_cast<std::ptrdiff_t>(to.step) + 1, middle_m);
    const auto step = static_cast<std::size_t>(end - ends.begin()) - 1;
    const double length_m = ends[step + 1] - ends[step];
    return {step, length_m > 0 ? std::clamp((middle_m - ends[step]) / length_m, 0.0, 1.0) : 0.5};
}

const std::vector<AreaSpan>& AreaFinder::spans(const map::Area& area) const {
    const auto known = m_known.find(&area);
    return known != m_known.end() ? known->second : m_known.emplace(&area, find_spans(area)).first->second;
}

std::vector<AreaSpan> AreaFinder::find_spans(const map::Area& area) const {
    const Rings rings = rings_of(m_scene, area);
    if (!rings.box.meets(m_box)) return {};
    std::vector<std::vector<WalkPlace>> cuts(m_scene.walks().size());
    const auto cut_with = [&](geo::Metres2 p, geo::Metres2 q, std::size_t w, std::size_t step) {
        const auto& points = m_scene.walks()[w].points;
        const geo::Metres2 a = points[step].at, d = points[step + 1].at - a, e = q - p;
        const double denominator = geo::cross(d, e);
        if (denominator == 0) return;
        const double share = geo::cross(p - a, e) / denominator, along = geo::cross(p - a, d) / denominator;
        if (share >= 0 && share <= 1 && along >= 0 && along <= 1) cuts[w].push_back({step, share});
    };
    for (const Ring& ring : rings.rings)
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            PlaneBox box;
            box.add(ring[i]);
            box.add(ring[i + 1]);
            m_steps.each(
                box, [&](std::size_t walk, std::size_t step) { cut_with(ring[i], ring[i + 1], walk, step); });
        }
    const auto are_one_place = [&](std::size_t walk, WalkPlace from, WalkPlace to) {
        constexpr double k_one_place_m = 1e-6;
        return (to.step - from.step > k_few_steps
                    ? metres_to(walk, to) - metres_to(walk, from)
                    : metres_between(m_scene.walks()[walk], from, to)) < k_one_place_m;
    };
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
            if (are_one_place(w, places[i], places[i + 1])) continue;
            if (!inside(rings, point_at(walk, middle_between(w, places[i], places[i + 1])).at)) continue;
            const bool goes_on =
                !out.empty() && out.back().walk == w && are_one_place(w, out.back().to, places[i]);
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
