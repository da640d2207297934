#include "map/collect.hpp"

#include "map/interest.hpp"

#include <osmium/io/error.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace waywarden::map {

namespace {

std::int64_t edited_s(const osmium::OSMObject& object) {
    return object.timestamp().valid() ? static_cast<std::int64_t>(object.timestamp().seconds_since_epoch())
                                      : 0;
}

void append(osmium::memory::Buffer& to, const osmium::memory::Buffer& from) {
    to.add_buffer(from);
    to.commit();
}

} // namespace

void refuse_zero_bytes(const osmium::TagList& tags) {
    const unsigned char* const begin = tags.data() + sizeof(osmium::TagList);
    const unsigned char* const end = tags.data() + tags.byte_size();
    if (begin >= end) return; // none
    const bool has_pairs = std::count(begin, end, '\0') % 2 == 0;
    if (!has_pairs ||
        std::any_of(tags.begin(), tags.end(), [](const osmium::Tag& tag) { return !*tag.key(); }))
        throw osmium::io_error("a tag holds a zero byte or an empty key");
}

Tags tags_of(const osmium::TagList& tags) {
    std::vector<std::pair<std::string, std::string>> pairs;
    for (const osmium::Tag& tag : tags)
        pairs.emplace_back(tag.key(), tag.value());
    return Tags(std::move(pairs));
}

Object object_of(const osmium::OSMObject& object) {
    const ObjectType type = object.type() == osmium::item_type::node  ? ObjectType::node
                            : object.type() == osmium::item_type::way ? ObjectType::way
                                                                      : ObjectType::relation;
    return {{type, object.id()}, tags_of(object.tags()), edited_s(object)};
}

void KnownNodes::absorb(KnownNodes&& other) {
    m_nodes.insert(m_nodes.end(), other.m_nodes.begin(), other.m_nodes.end());
    other.m_nodes = {};
}

void KnownNodes::sort() {
    const auto by_id = [](const Entry& a, const Entry& b) {
        return a.id != b.id ? a.id < b.id : a.version < b.version;
    };
    if (!std::is_sorted(m_nodes.begin(), m_nodes.end(), by_id))
        std::stable_sort(m_nodes.begin(), m_nodes.end(), by_id);
    std::size_t kept = 0;
    for (std::size_t i = 0; i < m_nodes.size(); ++i)
        if (i + 1 == m_nodes.size() || m_nodes[i + 1].id != m_nodes[i].id) m_nodes[kept++] = m_nodes[i];
    m_nodes.resize(kept);
    m_filter.assign((k_filter_mask + 1) / 64, 0);
    for (const Entry& node : m_nodes) {
        const auto bit = static_cast<std::uint64_t>(node.id) & k_filter_mask;
        m_filter[bit / 64] |= std::uint64_t{1} << (bit % 64);
    }
}

const KnownNodes::Entry* KnownNodes::find(std::int64_t id) const {
    const auto at = std::lower_bound(m_nodes.begin(), m_nodes.end(), id,
                                     [](const Entry& e, std::int64_t i) { return e.id < i; });
    return at != m_nodes.end() && at->id == id ? &*at : nullptr;
}

osmium::Location KnownNodes::location(std::int64_t id) const {
    const Entry* known = entry(id);
    return known ? known->location : osmium::Location{};
}

void UnitBox::add(const UnitBox& other) {
    west = std::min(west, other.west);
    south = std::min(south, other.south);
    east = std::max(east, other.east);
    north = std::max(north, other.north);
}

std::vector<UnitBox> boxes_of(const Corridor& corridor) {
    constexpr double k_units_per_deg = 1e7, k_piece_deg = 0.03;
    std::vector<UnitBox> boxes;
    const auto put = [&](double west, double south, double east, double north) {
        const auto units = [&](double deg) {
            return static_cast<std::int32_t>(std::clamp(deg, -180.0, 180.0) * k_units_per_deg);
        };
        const double north_deg = 2 * corridor.reach_m / 111000; // generously
        const double far_lat_deg = std::min(89.0, std::max(std::abs(south), std::abs(north)) + north_deg);
        const double east_deg = north_deg / std::cos(far_lat_deg * std::numbers::pi / 180);
        const bool across = east - west > 180 || west - east_deg < -180 || east + east_deg > 180;
        boxes.push_back({across ? units(-180) : units(west - east_deg), units(south - north_deg),
                         across ? units(180) : units(east + east_deg), units(north + north_deg)});
    };
    for (const auto& line : corridor.lines)
        for (std::size_t i = 0; i < line.size();) {
            double west = line[i].lon_deg, east = west, south = line[i].lat_deg, north = south;
            std::size_t next = i + 1; // at least the next point, then as many as fit
            for (; next < line.size(); ++next) {
                west = std::min(west, line[next].lon_deg);
                east = std::max(east, line[next].lon_deg);
                south = std::min(south, line[next].lat_deg);
                north = std::max(north, line[next].lat_deg);
                if (east - west > k_piece_deg || north - south > k_piece_deg) break;
            }
            put(west, south, east, north);
            if (next >= line.size()) break;
            i = next;
        }
    return boxes;
}

void NodeBoxes::add(std::int64_t id, osmium::Location location) {
    m_ascending = m_ascending && id > m_last_id;
    m_last_id = id;
    constexpr std::uint32_t k_run = 256;
    const UnitBox place{location.x(), location.y(), location.x(), location.y()};
    if (m_in_run == 0) m_runs.push_back({id, {}});
    m_runs.back().box.add(place);
    m_in_run = (m_in_run + 1) % k_run;
}

void NodeBoxes::absorb(NodeBoxes&& other) {
    m_ascending = m_ascending && other.m_ascending &&
                  (other.m_runs.empty() || other.m_runs.front().first_id > m_last_id);
    m_runs.insert(m_runs.end(), other.m_runs.begin(), other.m_runs.end());
    m_last_id = std::max(m_last_id, other.m_last_id);
    m_in_run = other.m_in_run;
}

bool NodeBoxes::add_box(const osmium::WayNodeList& refs, UnitBox& box) const {
    if (!m_ascending) return false;
    auto run = m_runs.end();
    for (const osmium::NodeRef& ref : refs) {
        const bool same = run != m_runs.end() && run->first_id <= ref.ref() &&
                          (run + 1 == m_runs.end() || (run + 1)->first_id > ref.ref());
        if (!same) {
            run = std::upper_bound(m_runs.begin(), m_runs.end(), ref.ref(),
                                   [](std::int64_t id, const Run& r) { return id < r.first_id; });
            if (run == m_runs.begin()) {
                run = m_runs.end();
                continue;
            }
            --run;
        }
        box.add(run->box);
    }
    return true;
}

void RelationLook::take(const osmium::Relation& relation) {
    ++count;
    if (!relation.visible()) {
        deleted.emplace_back(relation.id(), relation.version());
        return;
    }
    refuse_zero_bytes(relation.tags());
    const std::string_view type = relation.tags().get_value_by_key("type", "");
    // That somebody forgot to say what kind of relation it is must not hide a danger.
    const bool of_ways =
        type == "multipolygon" || type == "boundary" || (type.empty() && is_danger_area(relation.tags()));
    if (!of_ways || !is_area_of_interest(relation.tags())) return;
    relations.add_item(relation);
    relations.commit();
}

void RelationLook::absorb(RelationLook&& other) {
    append(relations, other.relations);
    deleted.insert(deleted.end(), other.deleted.begin(), other.deleted.end());
    count += other.count;
}

void NodeLook::take(const osmium::Node& node) {
    if (!node.visible()) nodes.add(node);
    if (!node.visible() || !node.location().valid()) return;
    const geo::Position p{node.location().lon_without_check(), node.location().lat_without_check()};
    ++count;
    if (!plain) {
        seen = {std::min(seen.west_deg, p.lon_deg), std::min(seen.south_deg, p.lat_deg),
                std::max(seen.east_deg, p.lon_deg), std::max(seen.north_deg, p.lat_deg)};
        newest_s = std::max(newest_s, edited_s(node));
    }
    boxes.add(node.id(), node.location());
    if (!node.tags().empty()) {
        refuse_zero_bytes(node.tags());
        layers.take_node(node.tags());
    }
    if (!shares.holds(p)) return;
    nodes.add(node, wide.holds(p));
    if (!node.tags().empty() && near.holds(p)) tagged.push_back(object_of(node));
}

void NodeLook::absorb(NodeLook&& other) {
    nodes.absorb(std::move(other.nodes));
    boxes.absorb(std::move(other.boxes));
    tagged.insert(tagged.end(), std::make_move_iterator(other.tagged.begin()),
                  std::make_move_iterator(other.tagged.end()));
    seen = {std::min(seen.west_deg, other.seen.west_deg), std::min(seen.south_deg, other.seen.south_deg),
            std::max(seen.east_deg, other.seen.east_deg), std::max(seen.north_deg, other.seen.north_deg)};
    newest_s = std::max(newest_s, other.newest_s);
    count += other.count;
    layers.absorb(other.layers);
}

bool WayLook::may_touch(const osmium::WayNodeList& refs) const {
    UnitBox box;
    for (const NodeBoxes* of_file : boxes)
        if (!of_file->add_box(refs, box)) return true;
    return std::any_of(corridor.begin(), corridor.end(),
                       [&](const UnitBox& piece) { return piece.meets(box); });
}

void WayLook::take(const osmium::Way& way) {
    ++count;
    newest_s = std::max(newest_s, edited_s(way));
    if (!way.visible()) {
        deleted.emplace_back(way.id(), way.version());
        return;
    }
    refuse_zero_bytes(way.tags());
    layers.take_way(way.tags());
    const auto& refs = way.nodes();
    bool is_near = false, is_known = false;
    for (const osmium::NodeRef& ref : refs) {
        const KnownNodes::Entry* node = known.entry(ref.ref());
        is_known = is_known || node;
        is_near = is_near || (node && node->near);
        if (is_near) break;
    }
    if (is_known && Tallies::counts(way.tags())) tally(way);
    const bool is_member = !members.empty() && members.count(way.id()) > 0;
    if (is_member || (is_near && is_of_interest(way))) {
        ways.add_item(way);
        ways.commit();
    } else if (!is_near && may_touch(refs) &&
               (is_line_of_interest(way.tags()) ||
                (is_ring(refs) ? can_hold_a_route(way.tags()) : is_danger_outline(way.tags())))) {
        far_ways.push_back(way.id());
        for (const osmium::NodeRef& ref : refs)
            far_refs.push_back(ref.ref());
        far_starts.push_back(static_cast<std::uint32_t>(far_refs.size()));
    }
}

void WayLook::tally(const osmium::Way& way) {
    Tallies::Way tally(tallies, way.tags());
    osmium::Location last;
    for (const osmium::NodeRef& ref : way.nodes()) {
        const osmium::Location at = known.location(ref.ref());
        if (last.valid() && at.valid())
            tally.piece({last.lon_without_check(), last.lat_without_check()},
                        {at.lon_without_check(), at.lat_without_check()});
        last = at;
    }
}

void WayLook::absorb(WayLook&& other) {
    append(ways, other.ways);
    const auto shift = static_cast<std::uint32_t>(far_refs.size());
    far_ways.insert(far_ways.end(), other.far_ways.begin(), other.far_ways.end());
    deleted.insert(deleted.end(), other.deleted.begin(), other.deleted.end());
    for (std::size_t i = 1; i < other.far_starts.size(); ++i)
        far_starts.push_back(other.far_starts[i] + shift);
    far_refs.insert(far_refs.end(), other.far_refs.begin(), other.far_refs.end());
    layers.absorb(other.layers);
    tallies.absorb(other.tallies);
    newest_s = std::max(newest_s, other.newest_s);
    count += other.count;
}

void LateNodeLook::take(const osmium::Node& node) {
    // In a sorted file the next wanted id is always ahead; otherwise it is searched for.
    if (node.id() < m_last) m_next = m_wanted.begin();
    m_last = node.id();
    if (m_next != m_wanted.end() && *m_next < node.id())
        m_next = std::lower_bound(m_next, m_wanted.end(), node.id());
    if (m_next == m_wanted.end() || *m_next != node.id()) return;
    nodes.add(node);
    if (!node.tags().empty()) edited_s.emplace_back(node.id(), map::edited_s(node));
}

void LateNodeLook::absorb(LateNodeLook&& other) {
    nodes.absorb(std::move(other.nodes));
    edited_s.insert(edited_s.end(), other.edited_s.begin(), other.edited_s.end());
}

} // namespace waywarden::map
