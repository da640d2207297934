#include "map/conditional.hpp"
#include "survey/spots.hpp"
#include "survey/timed_facts.hpp"
#include "survey/way_condition.hpp"
#include "survey/way_facts.hpp"

#include <algorithm>

namespace waywarden::survey {

namespace {

/// Two meetings with one gate that is drawn as a line, nearer than this, are one.
constexpr double k_one_gate_m = 5;
/// A kerb that wheels may roll over (OSM wiki, Key:kerb: lowered is about 3 cm, raised more).
constexpr double k_low_kerb_m = 0.03;

std::string_view spot_kind(const map::BarrierReading& barrier) {
    if (barrier.kind.find("stile") != std::string::npos) return "stile";
    return barrier.kind.find("gate") != std::string::npos ? "gate" : "barrier";
}

bool is_refused(const map::BarrierReading& barrier) {
    return barrier.right.right == map::Right::forbidden || barrier.right.right == map::Right::restricted;
}

/// What a place without a name of its own, and without a barrier, is called.
std::string_view called(const map::Tags& tags) {
    if (tags.has("barrier")) return "";
    if (tags.is("railway", "crossing") || tags.is("railway", "level_crossing")) return "the level crossing";
    if (tags.is("highway", "crossing")) return "the crossing";
    return tags.has("entrance") ? "the entrance" : "a place on the way";
}

std::string kind_words(const map::Tags& tags, const map::BarrierReading& barrier) {
    if (barrier.kind.empty()) return "no barrier"; // known, so that no rule takes it for one nobody recorded
    const auto height_m = map::read_metres(tags.get("kerb:height"));
    const bool raised = tags.is("kerb", "raised") || height_m.value_or(0) > k_low_kerb_m;
    return barrier.kind == "kerb" && raised ? "raised kerb" : barrier.kind;
}

/// Where the walk meets what may bar it.
struct Meeting {
    double at_m = 0;
    geo::Position position;
};

map::BarrierReading read_at(const Scene& scene, const map::Tags& tags, const Meeting& at) {
    return map::read_barrier(tags, scene.passing(at.at_m, at.at_m, at.position));
}

Spot barrier_spot(const Scene& scene, const map::Object& object, const map::BarrierReading& barrier,
                  const Meeting& at) {
    const map::Tags& tags = object.tags;
    Spot spot = spot_of(spot_kind(barrier), at.at_m, at.at_m, at.position, 0, true);
    spot.name = name_of(tags);
    set_text(spot.facts, "name", spot.name.empty() ? called(tags) : spot.name);
    set_text(spot.facts, "barrier_kind", kind_words(tags, barrier));
    spot.facts.set("barrier_passable", barrier.passable_by_kind);
    set_flag(spot.facts, "locked", barrier.locked);
    set_choice(spot.facts, "right", map::to_string(barrier.right.right));
    set_text(spot.facts, "right_value", barrier.right.value);
    set_timed_facts(spot.facts, scene, tags, {at.at_m, at.at_m, at.position});
    set_wheel_facts(spot.facts, tags);
    spot.facts.set("off_path", false);
    spot.evidence.push_back(evidence_of(object));
    return spot;
}

/// A crossing that walkers may not use bars them like a gate; any other node without a barrier says nothing.
bool says_something(const map::Tags& tags, const map::BarrierReading& barrier) {
    return !barrier.kind.empty() || is_refused(barrier) || !map::timed_tags(tags).empty();
}

/// Gates drawn as lines (OSM wiki, Tag:barrier=gate), as the walk meets them: at a node of their own, or by a
/// cut where the line has none. On a bridge or in a tunnel the walk meets only those whose node it goes by.
class GateLines {
  public:
    GateLines(const Scene& scene, std::vector<Spot>& out) : m_scene(scene), m_out(out) {}

    static bool are_there(const Scene& scene) {
        for (map::WayIndex way = 0; way < scene.ground().ways.size(); ++way)
            if (scene.role(way) == LineRole::gate) return true;
        return false;
    }

    void at_node(const WalkPoint& p) {
        if (p.node == map::k_no_node) return;
        const map::TaggedNode* node = m_scene.ground().tagged(p.node);
        const bool told = node && node->object.tags.has("barrier");
        for (const map::WayIndex way : m_scene.ways_at(p.node))
            if (m_scene.role(way) == LineRole::gate && !(told && is_open(way)))
                tell(way, {p.at_m, p.position});
    }

    void on_step(const Walk& walk, std::size_t step) {
        const auto& on = walk.steps[step].way;
        if (on && (m_scene.facts(*on).bridge || m_scene.facts(*on).tunnel)) return;
        const WalkPoint &a = walk.points[step], &b = walk.points[step + 1];
        PlaneBox box;
        box.add(a.at);
        box.add(b.at);
        m_scene.near(box, m_pieces);
        for (const LinePiece piece : m_pieces) {
            if (m_scene.role(piece.way) != LineRole::gate || has_node(piece.way, a) || has_node(piece.way, b))
                continue;
            const auto [p, q] = m_scene.ends(piece);
            const double side_p = geo::cross(b.at - a.at, p - a.at),
                         side_q = geo::cross(b.at - a.at, q - a.at);
            const double side_a = geo::cross(q - p, a.at - p), side_b = geo::cross(q - p, b.at - p);
            if ((side_p >= 0) == (side_q >= 0) || (side_a >= 0) == (side_b >= 0)) continue;
            const WalkPoint at = point_at(walk, {step, side_a / (side_a - side_b)});
            tell(piece.way, {at.at_m, at.position});
        }
    }

  private:
    bool is_open(map::WayIndex way) const {
        const map::BarrierReading gate = map::read_barrier(m_scene.tags(way));
        return !gate.locked.value_or(false) && !is_refused(gate);
    }

    bool has_node(map::WayIndex way, const WalkPoint& p) const {
        const auto& nodes = m_scene.way(way).nodes;
        return p.node != map::k_no_node && std::find(nodes.begin(), nodes.end(), p.node) != nodes.end();
    }

    void tell(map::WayIndex way, const Meeting& at) {
        // a line that is split at the way is one gate all the same
        const bool same = m_last && m_scene.tags(*m_last).pairs() == m_scene.tags(way).pairs();
        if (same && at.at_m - m_last_m < k_one_gate_m) return;
        m_last = way;
        m_last_m = at.at_m;
        const map::Object& gate = m_scene.way(way).object;
        m_out.push_back(barrier_spot(m_scene, gate, read_at(m_scene, gate.tags, at), at));
    }

    const Scene& m_scene;
    std::vector<Spot>& m_out;
    std::vector<LinePiece> m_pieces;
    std::optional<map::WayIndex> m_last;
    double m_last_m = 0;
};

void find_at_node(const Scene& scene, const WalkPoint& p, std::vector<Spot>& out) {
    const map::TaggedNode* node = scene.ground().tagged(p.node);
    if (!node || !map::may_bar_walkers(node->object.tags)) return;
    const Meeting at{p.at_m, p.position};
    const map::BarrierReading barrier = read_at(scene, node->object.tags, at);
    if (says_something(node->object.tags, barrier))
        out.push_back(barrier_spot(scene, node->object, barrier, at));
}

} // namespace

void find_barrier_spots(const Scene& scene, std::vector<Spot>& out) {
    const bool look_for_lines = GateLines::are_there(scene);
    for (const Walk& walk : scene.walks()) {
        GateLines lines(scene, out);
        for (std::size_t i = 0; i < walk.points.size(); ++i) {
            const WalkPoint& p = walk.points[i];
            find_at_node(scene, p, out);
            if (!look_for_lines) continue;
            lines.at_node(p);
            if (i < walk.steps.size()) lines.on_step(walk, i);
        }
    }
}

} // namespace waywarden::survey
