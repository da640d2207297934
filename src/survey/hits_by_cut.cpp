#include "survey/arms.hpp"
#include "survey/hits.hpp"

#include <algorithm>
#include <cmath>

namespace waywarden::survey {

namespace {

/// Nearer than this to a point of the walk a line runs through that point rather than through a step.
constexpr double k_touch_m = 0.05;

std::optional<CrossingOf> crossed_as(LineRole role, bool at_walls) {
    switch (role) {
    case LineRole::road:
        return CrossingOf::road;
    case LineRole::rail:
        return CrossingOf::rail;
    case LineRole::water:
        return CrossingOf::water;
    case LineRole::barrier:
        return at_walls ? std::optional(CrossingOf::barrier) : std::nullopt;
    default:
        return std::nullopt;
    }
}

/// Where along a step it cuts a piece, 0 to 1. A piece that begins on the step counts as left of it, so that
/// a line through the step at one of its own nodes is cut once, by one of the two pieces.
std::optional<double> cut(geo::Metres2 a, geo::Metres2 b, geo::Metres2 p, geo::Metres2 q) {
    const geo::Metres2 along = b - a;
    const double side_p = geo::cross(along, p - a), side_q = geo::cross(along, q - a);
    if ((side_p >= 0) == (side_q >= 0)) return std::nullopt;
    const geo::Metres2 place = p + (side_p / (side_p - side_q)) * (q - p);
    const double share = geo::dot(place - a, along) / geo::dot(along, along);
    return share > 0 && share < 1 ? std::optional(share) : std::nullopt;
}

class Cutter {
  public:
    Cutter(const Scene& scene, std::size_t walk, std::vector<Hit>& out)
        : m_scene(scene), m_walk(scene.walks()[walk]), m_walk_index(walk), m_out(out) {}

    /// Roads have gaps in walls as a matter of course, and bridges lead over them.
    bool meets_walls(std::optional<map::WayIndex> way) const {
        if (!way) return true;
        const map::Tags& tags = m_scene.tags(*way);
        return m_scene.role(*way) == LineRole::path && !map::yes(tags, "bridge") && !map::yes(tags, "tunnel");
    }

    void cut_step(std::size_t i) {
        const WalkPoint &a = m_walk.points[i], &b = m_walk.points[i + 1];
        PlaneBox box;
        box.add(a.at);
        box.add(b.at);
        box.grow(k_touch_m);
        m_scene.near(box, m_pieces);
        const std::size_t first = m_out.size();
        const bool at_walls = meets_walls(m_walk.steps[i].way);
        for (const LinePiece piece : m_pieces) {
            const auto of = crossed_as(m_scene.role(piece.way), at_walls);
            if (!of || m_walk.steps[i].way == piece.way) continue;
            const auto [p, q] = m_scene.ends(piece);
            if (geo::nearest_on_segment(a.at, p, q).distance_m < k_touch_m)
                continue; // seen at the end of the step before
            if (const auto touch = geo::nearest_on_segment(b.at, p, q); touch.distance_m < k_touch_m) {
                if (runs_through(i, piece, touch.fraction)) add(i, 1.0, piece.way, *of);
            } else if (const auto share = cut(a.at, b.at, p, q)) {
                add(i, *share, piece.way, *of);
            }
        }
        drop_grazes(first);
    }

  private:
    /// Whether a line that runs through the end of a step, without a node shared, goes from one side to the
    /// other.
    bool runs_through(std::size_t i, LinePiece piece, double fraction) const {
        if (i + 1 >= m_walk.steps.size() || m_walk.steps[i + 1].way == piece.way) return false;
        const WalkPoint &in = m_walk.points[i], &at = m_walk.points[i + 1], &out = m_walk.points[i + 2];
        const auto& nodes = m_scene.way(piece.way).nodes;
        if (at.node != map::k_no_node && std::find(nodes.begin(), nodes.end(), at.node) != nodes.end())
            return false;
        if (same_direction(at.at, in.at, out.at)) return false;
        auto [p, q] = m_scene.ends(piece);
        const double length_m = geo::length_m(q - p);
        const bool at_first = fraction * length_m < k_touch_m;
        const bool at_last = !at_first && (1 - fraction) * length_m < k_touch_m;
        if ((at_first && piece.first == 0) || (at_last && piece.first + 2 == nodes.size()))
            return goes_on_across(piece, at_first, in, at, out);
        if (at_last) return false; // seen at the next piece, which begins here
        if (at_first) p = m_scene.node_at(nodes[piece.first - 1]);
        return separates(at.at, in.at, out.at, p, q);
    }

    /// The same where the way ends there: whether another of its kind goes on across. Told once of the two.
    bool goes_on_across(LinePiece piece, bool at_first, const WalkPoint& in, const WalkPoint& at,
                        const WalkPoint& out) const {
        const auto& nodes = m_scene.way(piece.way).nodes;
        const map::NodeIndex shared = at_first ? nodes.front() : nodes.back();
        const geo::Metres2 here = m_scene.node_at(at_first ? nodes[1] : nodes[nodes.size() - 2]);
        return std::any_of(m_pieces.begin(), m_pieces.end(), [&](LinePiece other) {
            if (other.way <= piece.way || m_scene.role(other.way) != m_scene.role(piece.way)) return false;
            const auto& on = m_scene.way(other.way).nodes;
            const map::NodeIndex first = on[other.first], last = on[other.first + 1];
            if (first != shared && last != shared) return false;
            const geo::Metres2 there = m_scene.node_at(first == shared ? last : first);
            return separates(at.at, in.at, out.at, here, there);
        });
    }

    void add(std::size_t i, double share, map::WayIndex way, CrossingOf of) {
        const PlaceOnWalk place = between(m_walk.points[i], m_walk.points[i + 1], share);
        const auto walked = m_walk.steps[i].way;
        Hit hit;
        hit.how = Hit::How::cut;
        hit.of = of;
        hit.means = of == CrossingOf::barrier ? Means::none : means_over(m_scene, walked, way);
        if (of == CrossingOf::water && hit.means == Means::none && has_ford_node(i, place.at))
            hit.means = Means::ford;
        hit.walk = m_walk_index;
        hit.at_m = hit.from_m = hit.to_m = place.at_m;
        hit.at = place.at;
        hit.position = m_scene.frame().to_position(place.at);
        hit.way = way;
        hit.walked = walked;
        m_out.push_back(hit);
    }

    /// A ford mapped on the way walked, though its node is not joined to the water.
    bool has_ford_node(std::size_t i, geo::Metres2 at) const {
        for (const WalkPoint* p : {&m_walk.points[i], &m_walk.points[i + 1]})
            if (const map::TaggedNode* node = m_scene.ground().tagged(p->node))
                if (geo::length_m(p->at - at) <= k_ford_m && is_ford(node->object.tags)) return true;
        return false;
    }

    /// A line that touches a step with one of its nodes and turns back was cut twice there: no crossing.
    void drop_grazes(std::size_t first) {
        for (std::size_t i = first; i < m_out.size(); ++i)
            for (std::size_t k = i + 1; k < m_out.size(); ++k)
                if (m_out[i].way == m_out[k].way && geo::length_m(m_out[i].at - m_out[k].at) < 1e-4) {
                    m_out.erase(m_out.begin() + static_cast<std::ptrdiff_t>(k));
                    m_out.erase(m_out.begin() + static_cast<std::ptrdiff_t>(i));
                    --i;
                    break;
                }
    }

    const Scene& m_scene;
    const Walk& m_walk;
    std::size_t m_walk_index;
    std::vector<Hit>& m_out;
    std::vector<LinePiece> m_pieces;
};

/// A passage through a building is at the height of what it leads through (OSM wiki, Key:tunnel).
bool leads_under(const map::Tags& tags) {
    return map::yes(tags, "tunnel") && !tags.is("tunnel", "building_passage");
}

/// Two bridges on one layer may be one deck with a road across it: nothing says that one leads over the
/// other.
bool on_one_deck(const Scene& scene, map::WayIndex walked, map::WayIndex crossed) {
    const map::WayFacts &a = scene.facts(walked), &b = scene.facts(crossed);
    const LineRole role = scene.role(crossed);
    return a.bridge && b.bridge && a.layer.value_or(0) == b.layer.value_or(0) &&
           (role == LineRole::road || role == LineRole::rail);
}

} // namespace

Means means_over(const Scene& scene, std::optional<map::WayIndex> walked, map::WayIndex crossed) {
    const auto& over = scene.tags(crossed);
    const bool water = scene.role(crossed) == LineRole::water;
    if (walked) {
        // Facts, not tags: a bridge recorded as collapsed or lifted carries nobody.
        if (scene.facts(*walked).bridge && !on_one_deck(scene, *walked, crossed)) return Means::bridge;
        if (leads_under(scene.tags(*walked))) return Means::tunnel;
        if (water && scene.role(*walked) == LineRole::ferry) return Means::ferry;
    }
    // A monorail runs on a beam above the ground, as its layer says (OSM wiki, Tag:railway=monorail, from
    // memory).
    const auto layer = [&](map::WayIndex way) { return scene.facts(way).layer.value_or(0); };
    if (over.is("railway", "monorail") && layer(crossed) > (walked ? layer(*walked) : 0))
        return Means::tunnel;
    if (leads_under(over) || (water && map::yes(over, "culvert")))
        return water ? Means::culvert : Means::bridge;
    if (scene.facts(crossed).bridge && !(walked && on_one_deck(scene, *walked, crossed)))
        return Means::tunnel;
    if ((walked && scene.facts(*walked).ford) || (water && scene.facts(crossed).ford)) return Means::ford;
    return Means::none;
}

void find_cuts(const Scene& scene, std::vector<Hit>& out) {
    for (std::size_t w = 0; w < scene.walks().size(); ++w) {
        Cutter cutter(scene, w, out);
        for (std::size_t i = 0; i < scene.walks()[w].steps.size(); ++i)
            cutter.cut_step(i);
    }
}

} // namespace waywarden::survey
