#include "map/build_ground.hpp"

#include "map/interest.hpp"
#include "map/newest.hpp"

#include <fmt/format.h>
#include <osmium/area/assembler.hpp>
#include <osmium/osm/area.hpp>

#include <algorithm>
#include <map>
#include <numeric>
#include <set>

namespace waywarden::map {

namespace {

using Ring = std::vector<geo::Position>;

geo::Position position_of(osmium::Location location) {
    return {location.lon_without_check(), location.lat_without_check()};
}

class Builder {
  public:
    Builder(Gathered& gathered, const Corridor& corridor, const Nets& nets, Ground& ground)
        : m_gathered(gathered), m_corridor(corridor), m_nets(nets), m_ground(ground) {
        for (const auto& line : corridor.lines)
            if (!line.empty()) m_inside_tests.push_back(line.front());
    }

    void run() {
        m_ways = newest_by_id<osmium::Way>(m_gathered.ways, m_gathered.deleted_ways);
        if (!m_gathered.located)
            for (osmium::Way* way : m_ways)
                for (osmium::NodeRef& ref : way->nodes())
                    ref.set_location(m_gathered.nodes.location(ref.ref()));
        m_relations = newest_by_id<osmium::Relation>(m_gathered.relations, m_gathered.deleted_relations);
        for (const osmium::Way* way : m_ways)
            add_way(*way);
        number_nodes();
        for (const osmium::Relation* relation : m_relations)
            add_relation(*relation);
        const auto by_id = [](const auto& a, const auto& b) { return a.object.id < b.object.id; };
        std::stable_sort(m_ground.areas.begin(), m_ground.areas.end(), by_id);
        add_tagged_nodes();
        m_ground.tagged_lengths = m_ground.tallies.within(m_corridor);
    }

  private:
    using Line = std::vector<osmium::NodeRef>;
    void add_way(const osmium::Way& way);
    void add_line_parts(const osmium::Way& way);
    void add_closed_way(const osmium::Way& way);
    bool is_member(std::int64_t way) const;
    void tell_of_outline(const osmium::Way& way);
    void add_relation(const osmium::Relation& relation);
    void add_tagged_nodes();
    void number_nodes();
    void tell(Shortfall shortfall) {
        if (localise(shortfall, m_corridor, m_nets)) m_ground.shortfalls.push_back(std::move(shortfall));
    }

    bool touches(const Ring& ring) const {
        for (std::size_t i = 0; i + 1 < ring.size(); ++i)
            if (m_nets.near.touches(ring[i], ring[i + 1])) return true;
        return false;
    }
    bool is_around(const Ring& line) const {
        return std::any_of(line.begin(), line.end(),
                           [this](geo::Position p) { return m_nets.wide.holds(p); });
    }
    /// The corridor may lie in a ring that nowhere comes near it: then its lines lie in it from end to end.
    bool holds_corridor(const Ring& ring) const {
        return std::any_of(m_inside_tests.begin(), m_inside_tests.end(),
                           [&](geo::Position p) { return ring_holds(ring, p); });
    }

    Gathered& m_gathered;
    const Corridor& m_corridor;
    const Nets& m_nets;
    Ground& m_ground;
    std::vector<Line> m_lines, m_lines_around; ///< of m_ground.ways and m_ground.around
    std::vector<geo::Position> m_inside_tests;
    std::vector<osmium::Way*> m_ways;
    std::vector<osmium::Relation*> m_relations;
};

void Builder::add_way(const osmium::Way& way) {
    if (is_line_of_interest(way.tags())) add_line_parts(way);
    if (is_ring(way.nodes())) {
        if (is_area_of_interest(way.tags())) add_closed_way(way);
    } else if (is_danger_outline(way.tags()) && !is_member(way.id())) {
        tell_of_outline(way);
    }
}

/// Of an area that is known otherwise, a relation's.
bool Builder::is_member(std::int64_t way) const {
    const auto is_way = [&](const osmium::RelationMember& member) {
        return member.type() == osmium::item_type::way && member.ref() == way;
    };
    return std::any_of(m_relations.begin(), m_relations.end(), [&](const osmium::Relation* relation) {
        return std::any_of(relation->members().begin(), relation->members().end(), is_way);
    });
}

void Builder::tell_of_outline(const osmium::Way& way) {
    Ring known;
    for (const osmium::NodeRef& ref : way.nodes())
        if (ref.location().valid()) known.push_back(position_of(ref.location()));
    if (known.empty()) return;
    known.push_back(known.front());
    tell({Shortfall::Kind::area_open,
          object_of(way).id,
          {},
          fmt::format(
              "way {} stands for dangerous or military ground but does not close, so its extent is not known",
              way.id()),
          Shortfall::Concerns::near_or_nearer,
          std::move(known),
          true});
}

void Builder::add_line_parts(const osmium::Way& way) {
    std::vector<Line> parts(1);
    std::vector<Ring> positions(1);
    Shortfall cut{Shortfall::Kind::way_lacks_nodes, object_of(way).id, {}, {}, Shortfall::Concerns::near, {}};
    bool whole = true;
    parts.back().reserve(way.nodes().size());
    positions.back().reserve(way.nodes().size());
    for (const osmium::NodeRef& ref : way.nodes()) {
        if (!ref.location().valid()) {
            whole = false;
            if (!positions.back().empty()) cut.known.push_back(positions.back().back());
            if (!parts.back().empty()) parts.emplace_back(), positions.emplace_back();
            continue;
        }
        if (!whole && parts.back().empty()) cut.known.push_back(position_of(ref.location()));
        parts.back().push_back(ref);
        positions.back().push_back(position_of(ref.location()));
    }
    const bool is_highway = way.tags().has_key("highway");
    for (std::size_t i = 0; i < parts.size(); ++i) {
        if (parts[i].size() < 2) continue;
        const bool near = touches(positions[i]);
        if (!near && !(is_highway && is_around(positions[i]))) continue;
        Way kept;
        kept.object = object_of(way);
        kept.whole = whole;
        (near ? m_ground.ways : m_ground.around).push_back(std::move(kept));
        (near ? m_lines : m_lines_around).push_back(std::move(parts[i]));
    }
    if (whole) return;
    cut.text = fmt::format("way {} runs on from here through nodes that the extract does not hold", way.id());
    tell(std::move(cut));
}

void Builder::add_closed_way(const osmium::Way& way) {
    Ring ring;
    ring.reserve(way.nodes().size());
    bool whole = true;
    for (const osmium::NodeRef& ref : way.nodes()) {
        if (ref.location().valid())
            ring.push_back(position_of(ref.location()));
        else
            whole = false;
    }
    if (ring.size() < 2) return;
    if (!whole) {
        tell({Shortfall::Kind::way_lacks_nodes,
              object_of(way).id,
              {},
              fmt::format("area way {} lacks nodes in the extract, so its extent is not known", way.id()),
              is_danger_area(way.tags()) ? Shortfall::Concerns::near_or_nearer : Shortfall::Concerns::near,
              std::move(ring),
              true});
        return;
    }
    if (!touches(ring) && !holds_corridor(ring)) return;
    m_ground.areas.push_back({object_of(way), {{std::move(ring), {}}}});
}

void Builder::add_relation(const osmium::Relation& relation) {
    std::vector<const osmium::Way*> members;
    std::size_t missing = 0;
    bool nodes_missing = false;
    std::vector<geo::Position> known;
    for (const osmium::RelationMember& member : relation.members()) {
        if (member.type() != osmium::item_type::way) continue;
        const auto at =
            std::lower_bound(m_ways.begin(), m_ways.end(), member.ref(),
                             [](const osmium::Way* way, std::int64_t id) { return way->id() < id; });
        if (at == m_ways.end() || (*at)->id() != member.ref()) {
            ++missing;
            continue;
        }
        members.push_back(*at);
        for (const osmium::NodeRef& ref : (*at)->nodes()) {
            if (ref.location().valid())
                known.push_back(position_of(ref.location()));
            else
                nodes_missing = true;
        }
    }
    // Where what is known lies far away, what is not known may too: then only dangers are worth a warning,
    // and nearby what is wet. Where nothing is known it may lie anywhere.
    const bool danger = is_danger_area(relation.tags()), wet = is_wet_area(relation.tags());
    const auto concerns = danger || (wet && known.empty()) ? Shortfall::Concerns::all
                          : wet                            ? Shortfall::Concerns::around
                                                           : Shortfall::Concerns::near;
    if (missing > 0 || nodes_missing || members.empty()) {
        tell({Shortfall::Kind::area_lacks_ways,
              object_of(relation).id,
              {},
              missing == 0 && members.empty()
                  ? fmt::format("area relation {} has no ways, so where it lies is not known", relation.id())
                  : fmt::format("area relation {} is not whole in the extract ({} of its ways are "
                                "missing), so its extent is not known",
                                relation.id(), missing),
              concerns,
              std::move(known)});
        return;
    }
    osmium::memory::Buffer out(4096, osmium::memory::Buffer::auto_grow::yes);
    osmium::area::AssemblerConfig config;
    osmium::area::Assembler assembler(config);
    assembler(relation, members, out);
    Area area{object_of(relation), {}};
    bool touched = false, held = false;
    for (const osmium::Area& assembled : out.select<osmium::Area>())
        for (const osmium::OuterRing& outer : assembled.outer_rings()) {
            Area::Polygon polygon;
            const auto ring_of = [](const osmium::NodeRefList& refs) {
                Ring ring;
                for (const osmium::NodeRef& ref : refs)
                    ring.push_back(position_of(ref.location()));
                return ring;
            };
            polygon.outer = ring_of(outer);
            for (const osmium::InnerRing& inner : assembled.inner_rings(outer)) {
                polygon.inner.push_back(ring_of(inner));
                touched |= touches(polygon.inner.back());
            }
            touched |= touches(polygon.outer);
            held |= holds_corridor(polygon.outer);
            area.polygons.push_back(std::move(polygon));
        }
    if (area.polygons.empty()) {
        tell({Shortfall::Kind::area_broken,
              object_of(relation).id,
              {},
              fmt::format("the rings of area relation {} cannot be assembled, so its extent is not known",
                          relation.id()),
              concerns,
              std::move(known)});
        return;
    }
    if (touched || held) m_ground.areas.push_back(std::move(area));
}

/// By counting, twelve bits of the id at a time: there are many nodes, and their ids span far less than 64
/// bits.
void sort_by_id(std::vector<osmium::NodeRef>& refs) {
    constexpr unsigned k_bits = 12;
    const auto id_of = [](const osmium::NodeRef& ref) { return static_cast<std::uint64_t>(ref.ref()); };
    const auto by_id = [](const auto& a, const auto& b) { return a.ref() < b.ref(); };
    const auto [low, high] = std::minmax_element(refs.begin(), refs.end(), by_id);
    if (low == refs.end()) return;
    const std::uint64_t least = id_of(*low), span = id_of(*high) - least;
    std::vector<osmium::NodeRef> sorted(refs.size());
    for (unsigned shift = 0; shift < 64 && span >> shift != 0; shift += k_bits) {
        const auto digit = [&](const osmium::NodeRef& ref) {
            return (id_of(ref) - least) >> shift & ((1u << k_bits) - 1);
        };
        std::vector<std::size_t> next((std::size_t{1} << k_bits) + 1, 0);
        for (const osmium::NodeRef& ref : refs)
            ++next[digit(ref) + 1];
        std::partial_sum(next.begin(), next.end(), next.begin());
        for (const osmium::NodeRef& ref : refs)
            sorted[next[digit(ref)]++] = ref;
        refs.swap(sorted);
    }
}

void Builder::number_nodes() {
    std::size_t count = 0;
    for (const auto* lines : {&m_lines, &m_lines_around})
        for (const Line& line : *lines)
            count += line.size();
    Line all;
    all.reserve(count);
    for (const auto* lines : {&m_lines, &m_lines_around})
        for (const Line& line : *lines)
            all.insert(all.end(), line.begin(), line.end());
    sort_by_id(all);
    for (const osmium::NodeRef& ref : all)
        if (m_ground.nodes.empty() || m_ground.nodes.back().id != ref.ref())
            m_ground.nodes.push_back({ref.ref(), position_of(ref.location())});
    const auto& nodes = m_ground.nodes;
    std::size_t last = 0; // along a way the next node often has the next id
    const auto index_of = [&](std::int64_t id) {
        if (last + 1 < nodes.size() && nodes[last + 1].id == id) return ++last;
        last = static_cast<std::size_t>(
            std::lower_bound(nodes.begin(), nodes.end(), id,
                             [](const Node& node, std::int64_t i) { return node.id < i; }) -
            nodes.begin());
        return last;
    };
    const auto number = [&](const std::vector<Line>& lines, std::vector<Way>& ways) {
        for (std::size_t i = 0; i < lines.size(); ++i)
            for (const osmium::NodeRef& ref : lines[i])
                ways[i].nodes.push_back(static_cast<NodeIndex>(index_of(ref.ref())));
    };
    number(m_lines, m_ground.ways);
    number(m_lines_around, m_ground.around);
}

void Builder::add_tagged_nodes() {
    std::vector<std::size_t> order(m_gathered.tagged.size());
    for (std::size_t i = 0; i < order.size(); ++i)
        order[i] = i;
    const auto& tagged = m_gathered.tagged;
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return tagged[a].id != tagged[b].id ? tagged[a].id < tagged[b].id
                                            : tagged[a].edited_s > tagged[b].edited_s;
    });
    for (const std::size_t i : order) {
        if (!m_ground.tagged_nodes.empty() && m_ground.tagged_nodes.back().object.id == tagged[i].id)
            continue;
        const osmium::Location now_at = m_gathered.nodes.location(tagged[i].id.id);
        if (!now_at.valid()) continue; // deleted in a newer file
        const auto node = std::lower_bound(m_ground.nodes.begin(), m_ground.nodes.end(), tagged[i].id.id,
                                           [](const Node& n, std::int64_t id) { return n.id < id; });
        const bool on_way = node != m_ground.nodes.end() && node->id == tagged[i].id.id;
        if (on_way)
            m_ground.node_tags_by_node.push_back(static_cast<std::uint32_t>(m_ground.tagged_nodes.size()));
        m_ground.tagged_nodes.push_back(
            {tagged[i], position_of(now_at),
             on_way ? static_cast<NodeIndex>(node - m_ground.nodes.begin()) : k_no_node});
    }
}

} // namespace

bool ring_holds(const Ring& ring, geo::Position p) {
    const auto east_deg = [&](geo::Position q) {
        const double deg = q.lon_deg - p.lon_deg;
        return deg > 180 ? deg - 360 : deg < -180 ? deg + 360 : deg;
    };
    bool inside = false;
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
        const geo::Position &a = ring[i], &b = ring[j];
        if ((a.lat_deg > p.lat_deg) == (b.lat_deg > p.lat_deg)) continue;
        const double share = (p.lat_deg - a.lat_deg) / (b.lat_deg - a.lat_deg);
        if (0 < east_deg(a) + (east_deg(b) - east_deg(a)) * share) inside = !inside;
    }
    return inside;
}

namespace {

/// Whether a point of the lines lies within the box around some places.
bool box_meets(const std::vector<geo::Position>& places, const Corridor& corridor) {
    Box box{180, 90, -180, -90};
    for (const geo::Position p : places)
        box = {std::min(box.west_deg, p.lon_deg), std::min(box.south_deg, p.lat_deg),
               std::max(box.east_deg, p.lon_deg), std::max(box.north_deg, p.lat_deg)};
    const auto holds = [&](geo::Position p) { return box.holds(p); };
    return std::any_of(corridor.lines.begin(), corridor.lines.end(),
                       [&](const Ring& line) { return std::any_of(line.begin(), line.end(), holds); });
}

} // namespace

bool localise(Shortfall& shortfall, const Corridor& corridor, const Nets& nets) {
    shortfall.position.reset();
    const auto near = std::find_if(shortfall.known.begin(), shortfall.known.end(),
                                   [&](geo::Position p) { return nets.near.holds(p); });
    if (near != shortfall.known.end()) {
        shortfall.position = *near;
        return true;
    }
    if (shortfall.concerns == Shortfall::Concerns::all) return true;
    // All of a broken area is known but for how its pieces hang together: it lies within their box.
    if (shortfall.kind == Shortfall::Kind::area_broken)
        return shortfall.concerns == Shortfall::Concerns::around && box_meets(shortfall.known, corridor);
    if (shortfall.concerns == Shortfall::Concerns::around)
        return std::any_of(shortfall.known.begin(), shortfall.known.end(),
                           [&](geo::Position p) { return nets.wide.holds(p); });
    if (!shortfall.ring) return false;
    for (std::size_t i = 0; i + 1 < shortfall.known.size(); ++i)
        if (nets.near.touches(shortfall.known[i], shortfall.known[i + 1])) return true;
    return std::any_of(corridor.lines.begin(), corridor.lines.end(), [&](const Ring& line) {
        return !line.empty() && ring_holds(shortfall.known, line.front());
    });
}

void build_ground(Gathered& gathered, const Corridor& corridor, const Nets& nets, Ground& ground) {
    Builder(gathered, corridor, nets, ground).run();
}

} // namespace waywarden::map
