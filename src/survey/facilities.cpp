#include "survey/facilities.hpp"

#include "survey/way_facts.hpp"

#include <algorithm>

namespace waywarden::survey {

namespace {

constexpr double k_along_road_m = 30;
/// A level crossing whose node lies no farther beside the walk is the one walked over: a pavement goes at
/// most so far beside the middle of its road. Common practice, no source.
constexpr double k_beside_walk_m = 12;
/// Four tracks lie within this; their one crossing may be mapped on one of them. Common practice, no source.
constexpr double k_tracks_m = 15;
/// A gate this near to where the drawn line cuts a wall is likely the one that is meant.
constexpr double k_gate_m = 15;

bool matters(const map::Tags& tags) {
    return tags.has("crossing") || tags.has("crossing_ref") || tags.is("highway", "crossing") ||
           tags.is("highway", "traffic_signals") || tags.is("railway", "level_crossing") ||
           tags.is("railway", "crossing") || tags.is("railway", "tram_level_crossing") ||
           tags.is("railway", "tram_crossing") || tags.has("barrier");
}

/// A crossing that is no longer one, or that walkers may not use: one for riders only, one closed to all.
/// Source: OSM wiki, Key:crossing, Key:disused, from memory.
bool helps_nobody(const map::Tags& tags) {
    for (const char* state : {"disused", "abandoned", "removed", "razed", "demolished", "construction"})
        if (map::yes(tags, state) || tags.has(std::string(state) + ":highway") ||
            tags.has(std::string(state) + ":railway") || tags.has(std::string(state) + ":crossing"))
            return true;
    return tags.is("crossing", "no") || tags.is("crossing", "prohibited");
}

bool keeps_walkers_out(const map::Tags& tags) {
    const map::RightReading right = map::read_barrier(tags).right;
    return right.right == map::Right::forbidden || right.right == map::Right::restricted ||
           right.value == "conditional";
}

/// The help a crossing node or way records, from least to most.
enum class Help { none, other, unmarked, island, marked, zebra, signals };

const char* to_string(Help help) {
    switch (help) {
    case Help::none:
        return "none_recorded";
    case Help::other:
        return "other";
    case Help::unmarked:
        return "unmarked";
    case Help::island:
        return "island";
    case Help::marked:
        return "marked";
    case Help::zebra:
        return "zebra";
    case Help::signals:
        return "signals";
    }
    return "other";
}

Help help_of(const map::Tags& tags) {
    const auto crossing = tags.get("crossing"), markings = tags.get("crossing:markings");
    if (helps_nobody(tags) || keeps_walkers_out(tags)) return Help::none;
    if (crossing == "traffic_signals" || map::yes(tags, "crossing:signals")) return Help::signals;
    if (crossing == "zebra" || tags.is("crossing_ref", "zebra") || markings == "zebra") return Help::zebra;
    if (crossing == "marked" || crossing == "uncontrolled" || map::yes(tags, "crossing:markings"))
        return Help::marked;
    if (crossing == "island" || map::yes(tags, "crossing:island")) return Help::island;
    if (crossing == "unmarked" || crossing == "informal" || markings == "no") return Help::unmarked;
    // Signals for traffic say nothing of a phase for walkers.
    return tags.is("highway", "crossing") || tags.is("highway", "traffic_signals") ? Help::other : Help::none;
}

/// A gate that lets nobody through for all that the map knows.
bool is_shut(const map::BarrierReading& gate) {
    return gate.locked.value_or(false) || gate.right.right == map::Right::forbidden ||
           gate.right.right == map::Right::restricted;
}

enum class Protection { none, level_crossing, open, lights, gates, barriers };

Protection protection_of(const map::Tags& tags) {
    const auto barrier = tags.get("crossing:barrier");
    if (barrier == "gate" || barrier == "gates") return Protection::gates;
    if (!barrier.empty() && barrier != "no") return Protection::barriers;
    if (map::yes(tags, "crossing:light")) return Protection::lights;
    if (barrier == "no") return Protection::open;
    const auto railway = tags.get("railway");
    const bool mapped = railway == "level_crossing" || railway == "crossing" ||
                        railway == "tram_level_crossing" || railway == "tram_crossing";
    return mapped ? Protection::level_crossing : Protection::none;
}

const char* to_string(Protection protection) {
    switch (protection) {
    case Protection::none:
        return "none_recorded";
    case Protection::level_crossing:
        return "level_crossing";
    case Protection::open:
        return "open";
    case Protection::lights:
        return "lights";
    case Protection::gates:
        return "gates";
    case Protection::barriers:
        return "barriers";
    }
    return "none_recorded";
}

} // namespace

Facilities::Facilities(const Scene& scene) : m_scene(scene) {
    for (const map::TaggedNode& node : scene.ground().tagged_nodes) {
        if (node.node == map::k_no_node || !matters(node.object.tags)) continue;
        PlaneBox box;
        box.add(scene.frame().to_plane(node.position));
        bool near = false;
        scene.cells().each(box, [&](std::size_t) { near = true; });
        if (near) m_nodes.push_back(&node);
    }
}

bool Facilities::is_on(const map::TaggedNode& node, const Hit& hit) const {
    const auto holds = [&](map::WayIndex way) {
        const auto& nodes = m_scene.way(way).nodes;
        return std::find(nodes.begin(), nodes.end(), node.node) != nodes.end();
    };
    if (holds(*hit.way) || std::any_of(hit.also.begin(), hit.also.end(), holds)) return true;
    // The road may go on under another number: ways that begin or end where this one does.
    std::vector<LinePiece> pieces;
    PlaneBox box;
    box.add(hit.at);
    box.grow(k_along_road_m);
    m_scene.near(box, pieces);
    const auto& own = m_scene.way(*hit.way).nodes;
    return std::any_of(pieces.begin(), pieces.end(), [&](LinePiece piece) {
        if (m_scene.role(piece.way) != m_scene.role(*hit.way)) return false;
        const auto& nodes = m_scene.way(piece.way).nodes;
        const bool joins = nodes.front() == own.back() || nodes.back() == own.front() ||
                           nodes.front() == own.front() || nodes.back() == own.back();
        return joins && holds(piece.way);
    });
}

std::vector<const map::TaggedNode*> Facilities::beside(const Hit& hit, double radius_m) const {
    const Walk& walk = m_scene.walks()[hit.walk];
    const StepRange steps = hit.from_m == hit.to_m ? StepRange{} : steps_between(walk, hit.from_m, hit.to_m);
    PlaneBox box;
    box.add(hit.at);
    for (std::size_t i = steps.first; i < steps.end; ++i)
        box.add(walk.points[i].at), box.add(walk.points[i + 1].at);
    box.grow(radius_m);
    const auto distance_m = [&](geo::Metres2 p) {
        double best_m = geo::length_m(p - hit.at);
        for (std::size_t i = steps.first; i < steps.end; ++i)
            if (walk.points[i].at_m < hit.to_m && walk.points[i + 1].at_m > hit.from_m)
                best_m = std::min(
                    best_m, geo::nearest_on_segment(p, walk.points[i].at, walk.points[i + 1].at).distance_m);
        return best_m;
    };
    std::vector<const map::TaggedNode*> out;
    for (const map::TaggedNode* node : m_nodes) {
        const geo::Metres2 p = m_scene.frame().to_plane(node->position);
        if (box.holds(p) && distance_m(p) <= radius_m && is_on(*node, hit)) out.push_back(node);
    }
    return out;
}

void Facilities::describe_road(const Hit& hit, Crossing& crossing) const {
    Help best = Help::none;
    bool island = false;
    const auto look = [&](const map::Object& object) {
        const Help help = help_of(object.tags);
        if (help == Help::none) return;
        best = std::max(best, help);
        island = island || help == Help::island || map::yes(object.tags, "crossing:island");
        crossing.evidence.push_back(evidence_of(object));
    };
    for (const map::TaggedNode* node : beside(hit, k_along_road_m))
        look(node->object);
    if (hit.walked && m_scene.tags(*hit.walked).has("crossing")) look(m_scene.way(*hit.walked).object);
    crossing.facts.set("facility", std::string(to_string(best)));
    if (island)
        crossing.facts.set("island", true);
    else
        crossing.facts.set_unknown("island");
}

bool Facilities::is_walked_over(const map::TaggedNode& node, const Hit& hit) const {
    const geo::Metres2 p = m_scene.frame().to_plane(node.position);
    const Walk& walk = m_scene.walks()[hit.walk];
    const StepRange steps = steps_between(walk, hit.from_m - k_along_road_m, hit.to_m + k_along_road_m);
    for (std::size_t i = steps.first; i < steps.end; ++i)
        if (geo::nearest_on_segment(p, walk.points[i].at, walk.points[i + 1].at).distance_m <=
            k_beside_walk_m)
            return true;
    return false;
}

bool Facilities::is_on_track_beside(const map::TaggedNode& node, const Hit& hit) const {
    PlaneBox box;
    box.add(m_scene.frame().to_plane(node.position));
    std::vector<LinePiece> pieces;
    m_scene.near(box, pieces);
    return std::any_of(pieces.begin(), pieces.end(), [&](LinePiece piece) {
        if (m_scene.role(piece.way) != LineRole::rail ||
            m_scene.tags(piece.way).get("railway") != m_scene.tags(*hit.way).get("railway"))
            return false;
        const auto& nodes = m_scene.way(piece.way).nodes;
        return nodes[piece.first] == node.node || nodes[piece.first + 1] == node.node;
    });
}

std::vector<const map::TaggedNode*> Facilities::rail_crossings_of(const Hit& hit) const {
    // What the walk's own node says is what there is, whatever another crossing nearby has.
    const map::TaggedNode* own = m_scene.ground().tagged(hit.node);
    if (own && protection_of(own->object.tags) != Protection::none) return {own};
    std::vector<const map::TaggedNode*> out;
    for (const map::TaggedNode* node : m_nodes) {
        const double apart_m = geo::length_m(m_scene.frame().to_plane(node->position) - hit.at);
        if (apart_m > k_along_road_m || protection_of(node->object.tags) == Protection::none ||
            helps_nobody(node->object.tags) || keeps_walkers_out(node->object.tags) ||
            !is_walked_over(*node, hit))
            continue;
        if (is_on(*node, hit) || (apart_m <= k_tracks_m && is_on_track_beside(*node, hit)))
            out.push_back(node);
    }
    return out;
}

void Facilities::describe_rail(const Hit& hit, Crossing& crossing) const {
    Protection best = Protection::none;
    for (const map::TaggedNode* node : rail_crossings_of(hit)) {
        best = std::max(best, protection_of(node->object.tags));
        crossing.evidence.push_back(evidence_of(node->object));
    }
    crossing.facts.set("rail_protection", std::string(to_string(best)));
}

void Facilities::describe_barrier(const Hit& hit, Crossing& crossing) const {
    const map::BarrierReading wall = map::read_barrier(m_scene.tags(*hit.way));
    set_text(crossing.facts, "barrier_kind", wall.kind);
    crossing.facts.set("barrier_passable", wall.passable_by_kind);
    set_flag(crossing.facts, "locked", wall.locked);
    bool open = false;
    for (const map::TaggedNode* node : beside(hit, k_gate_m)) {
        const map::BarrierReading gate = map::read_barrier(node->object.tags);
        if (gate.kind.empty() || !gate.passable_by_kind) continue;
        crossing.evidence.push_back(evidence_of(node->object));
        const bool shut = is_shut(gate);
        if (shut && open) continue; // another lets them through
        open = !shut;
        set_flag(crossing.facts, "locked", gate.locked);
        if (!open) continue;
        crossing.means = Means::level;
        crossing.facts.set("barrier_passable", true);
    }
}

} // namespace waywarden::survey
