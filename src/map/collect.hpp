#pragma once

#include "map/corridor_net.hpp"
#include "map/ground.hpp"

#include <osmium/memory/buffer.hpp>
#include <osmium/osm/node.hpp>
#include <osmium/osm/relation.hpp>
#include <osmium/osm/way.hpp>

#include <cstdint>
#include <unordered_set>
#include <vector>

/// What is kept of a file, gathered in four looks: relations, nodes near the corridor, ways, and the nodes
/// that those ways still need. Each look is a value that takes objects one by one; two of them can be filled
/// on two threads and put together. None depends on the order of the objects, apart from the looks
/// themselves.
namespace waywarden::map {

/// Node ids with their positions, sorted by id; an upper bound of memory is 16 bytes a node kept.
class KnownNodes {
  public:
    void add(std::int64_t id, osmium::Location location) { m_nodes.push_back({id, location}); }
    void absorb(KnownNodes&& other);
    void sort(); ///< by id; of doubles the last added stays
    /// Whether the id is known. A filter answers most misses without a search.
    bool has(std::int64_t id) const { return passes_filter(id) && find(id) != nullptr; }
    osmium::Location location(std::int64_t id) const; ///< invalid where unknown
    std::size_t size() const { return m_nodes.size(); }

    struct Entry {
        std::int64_t id;
        osmium::Location location;
    };
    const std::vector<Entry>& entries() const { return m_nodes; }

  private:
    const Entry* find(std::int64_t id) const;
    bool passes_filter(std::int64_t id) const {
        const auto bit = static_cast<std::uint64_t>(id) & k_filter_mask;
        return (m_filter[bit / 64] >> (bit % 64)) & 1;
    }
    static constexpr std::uint64_t k_filter_mask = (std::uint64_t{1} << 22) - 1;
    std::vector<Entry> m_nodes;
    std::vector<std::uint64_t> m_filter;
};

/// First look: relations that can be areas of interest.
struct RelationLook {
    osmium::memory::Buffer relations{64 * 1024, osmium::memory::Buffer::auto_grow::yes};
    void take(const osmium::Relation& relation);
    void absorb(RelationLook&& other);
};

/// Second look: nodes near the corridor, with their tags where they have any.
struct NodeLook {
    explicit NodeLook(const CorridorNet& wide_net, const CorridorNet& near_net)
        : wide(wide_net), near(near_net) {}
    const CorridorNet& wide;
    const CorridorNet& near;
    KnownNodes nodes;
    std::vector<Object> tagged; ///< of nodes in `near`
    std::vector<geo::Position> tagged_positions;
    Box seen{1e9, 1e9, -1e9, -1e9}; ///< of all nodes
    std::int64_t newest_s = 0;
    std::uint64_t count = 0;
    void take(const osmium::Node& node);
    void absorb(NodeLook&& other);
};

/// Third look: ways with a node near the corridor, members of the relations, and areas that may hold the
/// corridor.
struct WayLook {
    WayLook(const KnownNodes& near_nodes, const std::unordered_set<std::int64_t>& member_ids)
        : near(near_nodes), members(member_ids) {}
    const KnownNodes& near;
    const std::unordered_set<std::int64_t>& members;
    osmium::memory::Buffer ways{64 * 1024,
                                osmium::memory::Buffer::auto_grow::yes}; ///< near ones and members, whole
    /// Closed ways without a node near: only their node ids, for most will turn out to be elsewhere.
    std::vector<std::int64_t> far_areas;      ///< way ids
    std::vector<std::uint32_t> far_starts{0}; ///< into far_refs, one more than ways
    std::vector<std::int64_t> far_refs;
    std::int64_t newest_s = 0;
    std::uint64_t count = 0;
    void take(const osmium::Way& way);
    void absorb(WayLook&& other);
};

/// Fourth look: positions of nodes that are still needed, and boxes of far areas.
class LateNodeLook {
  public:
    explicit LateNodeLook(const std::vector<std::int64_t>& wanted_sorted)
        : m_wanted(wanted_sorted), m_next(wanted_sorted.begin()) {}
    KnownNodes nodes;
    void take(const osmium::Node& node);

  private:
    const std::vector<std::int64_t>& m_wanted;
    std::vector<std::int64_t>::const_iterator m_next;
    std::int64_t m_last = INT64_MIN;
};

Tags tags_of(const osmium::TagList& tags);
Object object_of(const osmium::OSMObject& object);

} // namespace waywarden::map
