#include "map/collect.hpp"

#include "map/interest.hpp"

#include <algorithm>

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
    const auto by_id = [](const Entry& a, const Entry& b) { return a.id < b.id; };
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
    const Entry* entry = passes_filter(id) ? find(id) : nullptr;
    return entry ? entry->location : osmium::Location{};
}

void NodeBoxes::add(std::int64_t id, osmium::Location location) {
    m_ascending = m_ascending && id > m_last_id;
    m_last_id = id;
    constexpr std::uint32_t k_run = 256;
    if (m_in_run == 0) m_runs.push_back({id, location.x(), location.y(), location.x(), location.y()});
    Run& run = m_runs.back();
    run.west = std::min(run.west, location.x());
    run.south = std::min(run.south, location.y());
    run.east = std::max(run.east, location.x());
    run.north = std::max(run.north, location.y());
    m_in_run = (m_in_run + 1) % k_run;
}

void NodeBoxes::absorb(NodeBoxes&& other) {
    m_ascending = m_ascending && other.m_ascending &&
                  (other.m_runs.empty() || other.m_runs.front().first_id > m_last_id);
    m_runs.insert(m_runs.end(), other.m_runs.begin(), other.m_runs.end());
    m_last_id = std::max(m_last_id, other.m_last_id);
    m_in_run = other.m_in_run;
}

bool NodeBoxes::may_hold(const osmium::WayNodeList& refs, const std::vector<osmium::Location>& places) const {
    if (!m_ascending) return true;
    Run all{0, INT32_MAX, INT32_MAX, INT32_MIN, INT32_MIN};
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
        all.west = std::min(all.west, run->west);
        all.south = std::min(all.south, run->south);
        all.east = std::max(all.east, run->east);
        all.north = std::max(all.north, run->north);
    }
    return std::any_of(places.begin(), places.end(), [&](osmium::Location p) {
        return p.x() >= all.west && p.x() <= all.east && p.y() >= all.south && p.y() <= all.north;
    });
}

void RelationLook::take(const osmium::Relation& relation) {
    if (!relation.visible()) return;
    const char* type = relation.tags().get_value_by_key("type", "");
    if (std::string_view(type) != "multipolygon" && std::string_view(type) != "boundary") return;
    if (!is_area_of_interest(relation.tags())) return;
    relations.add_item(relation);
    relations.commit();
}

void RelationLook::absorb(RelationLook&& other) {
    append(relations, other.relations);
}

void NodeLook::take(const osmium::Node& node) {
    if (!node.visible() || !node.location().valid()) return;
    const geo::Position p{node.location().lon_without_check(), node.location().lat_without_check()};
    ++count;
    seen = {std::min(seen.west_deg, p.lon_deg), std::min(seen.south_deg, p.lat_deg),
            std::max(seen.east_deg, p.lon_deg), std::max(seen.north_deg, p.lat_deg)};
    newest_s = std::max(newest_s, edited_s(node));
    boxes.add(node.id(), node.location());
    if (!wide.holds(p)) return;
    nodes.add(node.id(), node.location());
    if (!node.tags().empty() && near.holds(p)) {
        tagged.push_back(object_of(node));
        tagged_positions.push_back(p);
    }
}

void NodeLook::absorb(NodeLook&& other) {
    nodes.absorb(std::move(other.nodes));
    boxes.absorb(std::move(other.boxes));
    tagged.insert(tagged.end(), std::make_move_iterator(other.tagged.begin()),
                  std::make_move_iterator(other.tagged.end()));
    tagged_positions.insert(tagged_positions.end(), other.tagged_positions.begin(),
                            other.tagged_positions.end());
    seen = {std::min(seen.west_deg, other.seen.west_deg), std::min(seen.south_deg, other.seen.south_deg),
            std::max(seen.east_deg, other.seen.east_deg), std::max(seen.north_deg, other.seen.north_deg)};
    newest_s = std::max(newest_s, other.newest_s);
    count += other.count;
}

bool WayLook::may_hold(const osmium::WayNodeList& refs) const {
    return std::any_of(boxes.begin(), boxes.end(),
                       [&](const NodeBoxes* of_file) { return of_file->may_hold(refs, places); });
}

void WayLook::take(const osmium::Way& way) {
    if (!way.visible()) return;
    ++count;
    newest_s = std::max(newest_s, edited_s(way));
    const auto& refs = way.nodes();
    const bool is_near = std::any_of(refs.begin(), refs.end(),
                                     [this](const osmium::NodeRef& ref) { return near.has(ref.ref()); });
    const bool is_member = !members.empty() && members.count(way.id()) > 0;
    const bool closed = refs.size() > 3 && refs.front().ref() == refs.back().ref();
    if (is_member ||
        (is_near && (is_line_of_interest(way.tags()) || (closed && is_area_of_interest(way.tags()))))) {
        ways.add_item(way);
        ways.commit();
    } else if (closed && !is_near && can_hold_a_route(way.tags()) && may_hold(refs)) {
        far_areas.push_back(way.id());
        for (const osmium::NodeRef& ref : refs)
            far_refs.push_back(ref.ref());
        far_starts.push_back(static_cast<std::uint32_t>(far_refs.size()));
    }
}

void WayLook::absorb(WayLook&& other) {
    append(ways, other.ways);
    const auto shift = static_cast<std::uint32_t>(far_refs.size());
    far_areas.insert(far_areas.end(), other.far_areas.begin(), other.far_areas.end());
    for (std::size_t i = 1; i < other.far_starts.size(); ++i)
        far_starts.push_back(other.far_starts[i] + shift);
    far_refs.insert(far_refs.end(), other.far_refs.begin(), other.far_refs.end());
    newest_s = std::max(newest_s, other.newest_s);
    count += other.count;
}

void LateNodeLook::take(const osmium::Node& node) {
    // In a sorted file the next wanted id is always ahead; otherwise it is searched for.
    if (node.id() < m_last) m_next = m_wanted.begin();
    m_last = node.id();
    if (m_next != m_wanted.end() && *m_next < node.id())
        m_next = std::lower_bound(m_next, m_wanted.end(), node.id());
    if (m_next != m_wanted.end() && *m_next == node.id() && node.visible() && node.location().valid()) {
        nodes.add(node.id(), node.location());
        if (!node.tags().empty()) edited_s.emplace_back(node.id(), map::edited_s(node));
    }
}

void LateNodeLook::absorb(LateNodeLook&& other) {
    nodes.absorb(std::move(other.nodes));
    edited_s.insert(edited_s.end(), other.edited_s.begin(), other.edited_s.end());
}

} // namespace waywarden::map
