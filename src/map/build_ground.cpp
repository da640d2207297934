#include "map/build_ground.hpp"

#include "map/interest.hpp"

#include <fmt/format.h>
#include <osmium/area/assembler.hpp>
#include <osmium/osm/area.hpp>

#include <algorithm>
#include <map>
#include <set>

namespace waywarden::map {

namespace {

using Ring = std::vector<geo::Position>;

geo::Position position_of(osmium::Location location) {
    return {location.lon_without_check(), location.lat_without_check()};
}

/// Of several versions of an object the newest, unless that one is deleted; sorted by id.
template <class T> std::vector<T*> newest_by_id(osmium::memory::Buffer& buffer, Deleted& deleted) {
    std::vector<T*> all;
    for (T& object : buffer.select<T>())
        all.push_back(&object);
    std::stable_sort(all.begin(), all.end(), [](const T* a, const T* b) {
        return a->id() != b->id() ? a->id() < b->id() : a->version() > b->version();
    });
    all.erase(std::unique(all.begin(), all.end(), [](const T* a, const T* b) { return a->id() == b->id(); }),
              all.end());
    std::sort(deleted.begin(), deleted.end());
    std::erase_if(all, [&](const T* object) {
        const auto later =
            std::upper_bound(deleted.begin(), deleted.end(), std::pair(object->id(), object->version()));
        return later != deleted.end() && later->first == object->id();
    });
    return all;
}

class Builder {
  public:
    Builder(Gathered& gathered, const Corridor& corridor, const Nets& nets, Ground& ground)
        : m_gathered(gathered), m_near(nets.near), m_wide(nets.wide), m_ground(ground) {
        for (const auto& line : corridor.lines)
            if (!line.empty()) m_inside_tests.push_back(line.front());
    }

    void run() {
        m_ways = newest_by_id<osmium::Way>(m_gathered.ways, m_gathered.deleted_ways);
        for (osmium::Way* way : m_ways)
            for (osmium::NodeRef& ref : way->nodes())
                ref.set_location(m_gathered.nodes.location(ref.ref()));
        std::vector<std::vector<std::int64_t>> lines;
        for (const osmium::Way* way : m_ways)
            add_way(*way, lines);
        number_nodes(lines);
        for (const osmium::Relation* relation :
             newest_by_id<osmium::Relation>(m_gathered.relations, m_gathered.deleted_relations))
            add_relation(*relation);
        const auto by_id = [](const auto& a, const auto& b) { return a.object.id < b.object.id; };
        std::stable_sort(m_ground.areas.begin(), m_ground.areas.end(), by_id);
        add_tagged_nodes();
    }

  private:
    void add_way(const osmium::Way& way, std::vector<std::vector<std::int64_t>>& lines);
    void add_line_parts(const osmium::Way& way, std::vector<std::vector<std::int64_t>>& lines);
    void add_closed_way(const osmium::Way& way);
    void add_relation(const osmium::Relation& relation);
    void add_tagged_nodes();
    void number_nodes(const std::vector<std::vector<std::int64_t>>& lines);
    void shortfall(Shortfall::Kind kind, const osmium::OSMObject& object, std::optional<geo::Position> where,
                   std::string text);

    bool touches(const Ring& ring) const {
        for (std::size_t i = 0; i + 1 < ring.size(); ++i)
            if (m_near.touches(ring[i], ring[i + 1])) return true;
        return false;
    }
    /// The corridor may lie in a ring that nowhere comes near it: then its lines lie in it from end to end.
    bool holds_corridor(const Ring& ring) const {
        return std::any_of(m_inside_tests.begin(), m_inside_tests.end(),
                           [&](geo::Position p) { return ring_holds(ring, p); });
    }

    Gathered& m_gathered;
    const CorridorNet& m_near;
    const CorridorNet& m_wide;
    Ground& m_ground;
    std::vector<geo::Position> m_inside_tests;
    std::vector<osmium::Way*> m_ways;
};

void Builder::shortfall(Shortfall::Kind kind, const osmium::OSMObject& object,
                        std::optional<geo::Position> where, std::string text) {
    m_ground.shortfalls.push_back({kind, object_of(object).id, where, std::move(text)});
}

void Builder::add_way(const osmium::Way& way, std::vector<std::vector<std::int64_t>>& lines) {
    if (is_line_of_interest(way.tags())) add_line_parts(way, lines);
    const auto& refs = way.nodes();
    if (refs.size() > 3 && refs.front().ref() == refs.back().ref() && is_area_of_interest(way.tags()))
        add_closed_way(way);
}

void Builder::add_line_parts(const osmium::Way& way, std::vector<std::vector<std::int64_t>>& lines) {
    std::vector<std::vector<std::int64_t>> parts(1);
    std::vector<Ring> positions(1);
    bool whole = true, near = false;
    std::optional<geo::Position> cut_at; // the end of what is known, where the way is near the route
    for (const osmium::NodeRef& ref : way.nodes()) {
        if (!ref.location().valid()) {
            whole = false;
            if (!positions.back().empty() && m_near.holds(positions.back().back()))
                cut_at = positions.back().back();
            if (!parts.back().empty()) parts.emplace_back(), positions.emplace_back();
            continue;
        }
        if (!whole && parts.back().empty() && m_near.holds(position_of(ref.location())))
            cut_at = position_of(ref.location());
        parts.back().push_back(ref.ref());
        positions.back().push_back(position_of(ref.location()));
    }
    for (std::size_t i = 0; i < parts.size(); ++i) {
        if (parts[i].size() < 2 || !touches(positions[i])) continue;
        near = true;
        Way kept;
        kept.object = object_of(way);
        kept.whole = whole;
        m_ground.ways.push_back(std::move(kept));
        lines.push_back(std::move(parts[i]));
    }
    if (cut_at)
        shortfall(
            Shortfall::Kind::way_lacks_nodes, way, cut_at,
            fmt::format("way {} runs on from here through nodes that the extract does not hold", way.id()));
    else if (near && way.nodes().size() < 2)
        shortfall(Shortfall::Kind::other, way, std::nullopt,
                  fmt::format("way {} has a single node", way.id()));
}

void Builder::add_closed_way(const osmium::Way& way) {
    Ring ring;
    bool whole = true;
    for (const osmium::NodeRef& ref : way.nodes()) {
        if (ref.location().valid())
            ring.push_back(position_of(ref.location()));
        else
            whole = false;
    }
    if (ring.size() < 2) return;
    const bool near = touches(ring);
    if (!whole) {
        if (near || holds_corridor(ring))
            shortfall(
                Shortfall::Kind::way_lacks_nodes, way, near ? std::optional(ring.front()) : std::nullopt,
                fmt::format("area way {} lacks nodes in the extract, so its extent is not known", way.id()));
        return;
    }
    if (!near && !holds_corridor(ring)) return;
    m_ground.areas.push_back({object_of(way), {{std::move(ring), {}}}});
}

void Builder::add_relation(const osmium::Relation& relation) {
    std::vector<const osmium::Way*> members;
    std::size_t missing = 0;
    bool nodes_missing = false;
    bool comes_wide = false;
    std::optional<geo::Position> near_at;
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
            if (!ref.location().valid())
                nodes_missing = true;
            else if (!near_at && m_near.holds(position_of(ref.location())))
                near_at = position_of(ref.location());
            else if (m_wide.holds(position_of(ref.location())))
                comes_wide = true;
        }
    }
    if (missing > 0 || nodes_missing) {
        // Where what is known lies far away, what is not known may too: then only dangers are worth a
        // warning, and nearby what is wet.
        if (near_at || is_danger_area(relation.tags()) || (comes_wide && is_wet_area(relation.tags())))
            shortfall(Shortfall::Kind::area_lacks_ways, relation, near_at,
                      fmt::format("area relation {} is not whole in the extract ({} of its ways are "
                                  "missing), so its extent is not known",
                                  relation.id(), missing));
        return;
    }
    if (members.empty()) return;
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
        if (near_at || is_danger_area(relation.tags()))
            shortfall(
                Shortfall::Kind::area_broken, relation, near_at,
                fmt::format("the rings of area relation {} cannot be assembled, so its extent is not known",
                            relation.id()));
        return;
    }
    if (touched || held) m_ground.areas.push_back(std::move(area));
}

void Builder::number_nodes(const std::vector<std::vector<std::int64_t>>& lines) {
    std::vector<std::int64_t> ids;
    for (const auto& line : lines)
        ids.insert(ids.end(), line.begin(), line.end());
    std::sort(ids.begin(), ids.end());
    ids.erase(std::unique(ids.begin(), ids.end()), ids.end());
    for (const std::int64_t id : ids)
        m_ground.nodes.push_back({id, position_of(m_gathered.nodes.location(id))});
    for (std::size_t i = 0; i < lines.size(); ++i)
        for (const std::int64_t id : lines[i])
            m_ground.ways[i].nodes.push_back(
                static_cast<NodeIndex>(std::lower_bound(ids.begin(), ids.end(), id) - ids.begin()));
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

void build_ground(Gathered& gathered, const Corridor& corridor, const Nets& nets, Ground& ground) {
    Builder(gathered, corridor, nets, ground).run();
}

} // namespace waywarden::map
