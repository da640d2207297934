#include "survey/sight.hpp"

#include "survey/arms.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace waywarden::survey {

namespace {

constexpr double k_coarse_m = 60;
/// Over 60 m this is a bend of 340 m radius; a straight piece that only meets its neighbours at such an angle
/// is a curve that nobody drew. Beyond the larger angle it is a corner, and drawn as one.
constexpr double k_curve_rad = 10 * std::numbers::pi / 180, k_corner_rad = 45 * std::numbers::pi / 180;
/// Traffic that turns by more than this at a junction is slow.
constexpr double k_turning_rad = 60 * std::numbers::pi / 180;
constexpr double k_edge_of_reading_m = 50;

/// The directions in which a chord may leave so that it passes every vertex so far within the clearance.
/// Angles are kept relative to the first vertex that binds, so that none wraps.
class Fan {
  public:
    Fan(geo::Metres2 origin, double clearance_m) : m_origin(origin), m_clearance_m(clearance_m) {}

    /// How much of the straight piece from a to b is seen, from 0 to 1.
    double seen(geo::Metres2 a, geo::Metres2 b) const {
        if (!m_bound || holds(b)) return 1;
        if (!holds(a)) return 0;
        double low = 0, high = 1;
        while ((high - low) * geo::length_m(b - a) > k_exact_m) {
            const double middle = (low + high) / 2;
            (holds(a + middle * (b - a)) ? low : high) = middle;
        }
        return low;
    }

    void add(geo::Metres2 vertex) {
        const double distance_m = geo::length_m(vertex - m_origin);
        if (distance_m <= m_clearance_m) return;
        const double half_rad = std::asin(m_clearance_m / distance_m);
        if (!m_bound) {
            m_bound = true;
            m_axis = vertex - m_origin;
        }
        const double angle = angle_of(vertex);
        m_low_rad = std::max(m_low_rad, angle - half_rad);
        m_high_rad = std::min(m_high_rad, angle + half_rad);
    }

  private:
    static constexpr double k_exact_m = 0.01;
    double angle_of(geo::Metres2 p) const {
        return std::atan2(geo::cross(m_axis, p - m_origin), geo::dot(m_axis, p - m_origin));
    }
    bool holds(geo::Metres2 p) const {
        const double angle = angle_of(p);
        return angle >= m_low_rad - 1e-9 && angle <= m_high_rad + 1e-9;
    }

    geo::Metres2 m_origin, m_axis;
    double m_clearance_m;
    bool m_bound = false;
    double m_low_rad = -std::numbers::pi / 2, m_high_rad = std::numbers::pi / 2;
};

bool is_ring(const map::Tags& tags) {
    return tags.is("junction", "roundabout") || tags.is("junction", "circular");
}

bool is_curve(double turn_rad) {
    return turn_rad > k_curve_rad && turn_rad < k_corner_rad;
}

/// Adds the piece of road up to `to`; false where the limit is reached within it.
bool add_piece(RoadAhead& out, double& length_m, geo::Metres2 to, double limit_m) {
    const geo::Metres2 from = out.line.back();
    const double piece_m = geo::length_m(to - from);
    if (piece_m <= 0) return true;
    if (length_m + piece_m >= limit_m) {
        out.line.push_back(from + ((limit_m - length_m) / piece_m) * (to - from));
        out.end = RoadEnd::limit;
        return false;
    }
    length_m += piece_m;
    out.line.push_back(to);
    return true;
}

Sight shorter(const Sight& a, const Sight& b) {
    if (!a.matters) return b;
    if (!b.matters) return a;
    return b.metres < a.metres ? b : a;
}

} // namespace

PlaceOnRoad place_on_road(const Scene& scene, map::WayIndex way, geo::Metres2 near) {
    PlaceOnRoad out{way, 0, near};
    double best_m = std::numeric_limits<double>::infinity();
    const auto& nodes = scene.way(way).nodes;
    for (std::uint32_t i = 0; i + 1 < nodes.size(); ++i) {
        const auto nearest =
            geo::nearest_on_segment(near, scene.node_at(nodes[i]), scene.node_at(nodes[i + 1]));
        if (nearest.distance_m >= best_m) continue;
        best_m = nearest.distance_m;
        out.first = i;
        out.at = nearest.point;
    }
    return out;
}

Sight sight_along(const RoadAhead& ahead, double clearance_m) {
    const auto& line = ahead.line;
    Fan fan(line.front(), clearance_m);
    double metres = 0;
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
        const double seen = fan.seen(line[i], line[i + 1]);
        metres += seen * geo::length_m(line[i + 1] - line[i]);
        if (seen < 1) return {metres, true, true};
        fan.add(line[i + 1]);
    }
    return {metres, ahead.end == RoadEnd::limit,
            ahead.end != RoadEnd::dead_end && ahead.end != RoadEnd::junction};
}

/// Where the road is being followed.
struct Roads::Cursor {
    map::WayIndex way;
    std::uint32_t from; ///< the node left last
    int step;           ///< +1 or -1
};

Roads::Roads(const Scene& scene, double map_reach_m) : m_scene(scene), m_map_reach_m(map_reach_m) {
    const auto& ways = scene.ground().ways;
    std::vector<std::uint8_t> is_end(scene.ground().nodes.size(), 0);
    for (map::WayIndex w = 0; w < ways.size(); ++w)
        if (scene.role(w) == LineRole::road) {
            is_end[ways[w].nodes.front()] = 1;
            is_end[ways[w].nodes.back()] = 1;
        }
    for (map::WayIndex w = 0; w < ways.size(); ++w)
        if (scene.role(w) == LineRole::road)
            for (std::uint32_t i = 0; i < ways[w].nodes.size(); ++i)
                if (is_end[ways[w].nodes[i]]) m_arms.push_back({ways[w].nodes[i], w, i});
    std::stable_sort(m_arms.begin(), m_arms.end(),
                     [](const Arm& a, const Arm& b) { return a.node < b.node; });
}

bool Roads::well_within_reading(map::NodeIndex node) const {
    const auto [known, is_new] = m_within.try_emplace(node, false);
    if (!is_new) return known->second;
    const geo::Metres2 at = m_scene.node_at(node);
    const auto is_near = [&](const Walk& walk) {
        for (std::size_t i = 0; i + 1 < walk.points.size(); ++i)
            if (geo::nearest_on_segment(at, walk.points[i].at, walk.points[i + 1].at).distance_m <
                m_map_reach_m - k_edge_of_reading_m)
                return true;
        return false;
    };
    return known->second = std::any_of(m_scene.walks().begin(), m_scene.walks().end(), is_near);
}

RoadEnd Roads::end_at(map::NodeIndex node, map::WayIndex way) const {
    const bool read = m_scene.way(way).whole &&
                      m_scene.ground().covers(m_scene.ground().nodes[node].position) &&
                      well_within_reading(node);
    return read ? RoadEnd::dead_end : RoadEnd::unread;
}

bool Roads::go_on(Cursor& cursor, RoadAhead& out) const {
    const map::Way& way = m_scene.way(cursor.way);
    const map::NodeIndex node = way.nodes[cursor.from];
    const geo::Metres2 at = m_scene.node_at(node);
    const auto before = cursor.from - static_cast<std::uint32_t>(cursor.step);
    const geo::Metres2 in = m_scene.node_at(way.nodes[before]);
    const auto& tags = way.object.tags;
    struct Choice {
        int likeness = -1;
        double bend = 10;
        Cursor cursor{};
    } best;
    int arms = 0;
    auto arm = std::lower_bound(m_arms.begin(), m_arms.end(), node,
                                [](const Arm& a, map::NodeIndex n) { return a.node < n; });
    for (; arm != m_arms.end() && arm->node == node; ++arm) {
        const auto& nodes = m_scene.way(arm->way).nodes;
        const auto& other = m_scene.tags(arm->way);
        const bool named = (tags.has("ref") && tags.get("ref") == other.get("ref")) ||
                           (tags.has("name") && tags.get("name") == other.get("name"));
        const int likeness = named ? 2 : other.is("highway", "service") ? 0 : 1;
        for (const int step : {1, -1}) {
            if (step < 0 ? arm->place == 0 : arm->place + 1 >= nodes.size()) continue;
            if (arm->way == cursor.way && arm->place == cursor.from && step == -cursor.step) continue;
            const geo::Metres2 to = m_scene.node_at(nodes[arm->place + static_cast<std::uint32_t>(step)]);
            const double bend = bend_rad(at, in, to);
            ++arms;
            if (likeness > best.likeness || (likeness == best.likeness && bend < best.bend))
                best = {likeness, bend, {arm->way, arm->place, step}};
        }
    }
    if (arms == 0) out.end = end_at(node, cursor.way);
    if (arms > 1 && best.bend > k_turning_rad) out.end = RoadEnd::junction;
    if (arms == 0 || (arms > 1 && best.bend > k_turning_rad)) return false;
    cursor = best.cursor;
    return true;
}

RoadAhead Roads::ahead(const PlaceOnRoad& place, bool towards_last, double limit_m) const {
    RoadAhead out;
    out.line.push_back(place.at);
    Cursor cursor{place.way, towards_last ? place.first : place.first + 1, towards_last ? 1 : -1};
    double length_m = 0, last_piece_m = 0;
    geo::Metres2 before{}, last = m_scene.node_at(m_scene.way(place.way).nodes[cursor.from]);
    bool first = true;
    for (;;) {
        const auto& nodes = m_scene.way(cursor.way).nodes;
        const bool at_end = cursor.step > 0 ? cursor.from + 1 >= nodes.size() : cursor.from == 0;
        if (at_end) {
            if (!go_on(cursor, out)) return out;
            continue;
        }
        cursor.from += static_cast<std::uint32_t>(cursor.step);
        const geo::Metres2 next = m_scene.node_at(nodes[cursor.from]);
        const double piece_m = geo::length_m(next - last);
        const bool curve = !first && is_curve(bend_rad(last, before, next));
        if (curve && (piece_m > k_coarse_m || last_piece_m > k_coarse_m)) {
            // What lies before the turn is in doubt too: the curve was cut short by the long piece.
            if (last_piece_m > k_coarse_m && out.line.size() > 1) out.line.pop_back();
            out.end = RoadEnd::undrawn;
            return out;
        }
        if (!add_piece(out, length_m, next, limit_m)) return out;
        before = last;
        last = next;
        last_piece_m = piece_m;
        first = false;
    }
}

Roads::BothClearances Roads::shortest(const PlaceOnRoad& place, double low_clearance_m,
                                      double high_clearance_m, double limit_m) const {
    BothClearances out{{0, false, false}, {0, false, false}};
    const auto& tags = m_scene.tags(place.way);
    if (is_ring(tags))
        return {{0, false, true}, {0, false, true}}; // traffic on it is slow; how slow is unknown
    const bool forward = tags.is("oneway", "yes") || tags.is("oneway", "1") || tags.is("oneway", "true");
    const bool backward = tags.is("oneway", "-1");
    for (const bool towards_last : {true, false}) {
        if (towards_last ? forward : backward) continue; // traffic goes away there
        const RoadAhead road = ahead(place, towards_last, limit_m);
        const Sight low = sight_along(road, low_clearance_m);
        out.low = shorter(out.low, low);
        // What is not hidden by a bend more clearance does not show any farther.
        const bool bend = low.exact && low.matters && low.metres < limit_m;
        out.high = shorter(out.high, bend ? sight_along(road, high_clearance_m) : low);
    }
    return out;
}

} // namespace waywarden::survey
