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

/// Node ids with their positions, sorted by id: 24 bytes a node kept. Of several versions the newest counts;
/// a deleted one is known, and has no position.
class KnownNodes {
  public:
    /// `near`: a way through this node is kept; others are known for their position alone.
    void add(const osmium::Node& node, bool near = true) {
        m_nodes.push_back(
            {node.id(), node.visible() ? node.location() : osmium::Location{}, node.version(), near});
    }
    struct Entry;
    void add(const Entry& entry) { m_nodes.push_back(entry); }
    void absorb(KnownNodes&& other);
    void sort(); ///< by id; of several the newest version stays, of equal ones the last added
    /// Whether the id is known. A filter answers most misses without a search.
    bool has(std::int64_t id) const { return passes_filter(id) && find(id) != nullptr; }
    osmium::Location location(std::int64_t id) const; ///< invalid where unknown or deleted
    std::size_t size() const { return m_nodes.size(); }

    struct Entry {
        std::int64_t id;
        osmium::Location location;
        osmium::object_version_type version; ///< 0 where the file was read without metadata
        bool near;
    };
    const std::vector<Entry>& entries() const { return m_nodes; }
    /// Null where unknown.
    const Entry* entry(std::int64_t id) const { return passes_filter(id) ? find(id) : nullptr; }

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

/// A box in libosmium's units of 1e-7 degrees.
struct UnitBox {
    std::int32_t west = INT32_MAX, south = INT32_MAX, east = INT32_MIN, north = INT32_MIN;
    void add(const UnitBox& other);
    bool meets(const UnitBox& other) const {
        return west <= other.east && other.west <= east && south <= other.north && other.south <= north;
    }
};

/// Boxes of a few kilometres each that together hold the corridor with its reach.
std::vector<UnitBox> boxes_of(const Corridor& corridor);

/// Where runs of 256 nodes with neighbouring ids lie: enough to tell, without their positions, that most ways
/// of a country cannot come near the corridor or hold it. 24 bytes a run, so 0.1 byte a node. Only for files
/// with ascending ids.
class NodeBoxes {
  public:
    void add(std::int64_t id, osmium::Location location);
    void absorb(NodeBoxes&& other);
    /// Adds the boxes of the runs that these nodes are in. False where ids do not ascend: then nothing can be
    /// told.
    bool add_box(const osmium::WayNodeList& refs, UnitBox& box) const;

  private:
    struct Run {
        std::int64_t first_id;
        UnitBox box;
    };
    std::vector<Run> m_runs;
    std::uint32_t m_in_run = 0;
    std::int64_t m_last_id = INT64_MIN;
    bool m_ascending = true;
};

/// Ids of objects that a file says are deleted, with the version.
using Deleted = std::vector<std::pair<std::int64_t, osmium::object_version_type>>;

/// First look: relations that can be areas of interest.
struct RelationLook {
    osmium::memory::Buffer relations{64 * 1024, osmium::memory::Buffer::auto_grow::yes};
    Deleted deleted;
    std::uint64_t count = 0; ///< of relations of any kind
    void take(const osmium::Relation& relation);
    void absorb(RelationLook&& other);
};

/// Second look: nodes near the corridor, with their tags where they have any.
struct NodeLook {
    NodeLook(const CorridorNet& shares_net, const CorridorNet& wide_net, const CorridorNet& near_net,
             bool header_says_it)
        : shares(shares_net), wide(wide_net), near(near_net), plain(header_says_it) {}
    const CorridorNet& shares;
    const CorridorNet& wide;
    const CorridorNet& near;
    bool plain; ///< the header gives bounds and date: neither is gathered from the nodes
    KnownNodes nodes;
    NodeBoxes boxes;
    std::vector<Object> tagged;     ///< of nodes in `near`
    Box seen{1e9, 1e9, -1e9, -1e9}; ///< of all nodes
    std::int64_t newest_s = 0;
    std::uint64_t count = 0;
    Layers layers;
    void take(const osmium::Node& node);
    void absorb(NodeLook&& other);
};

/// Third look: ways with a node near the corridor, members of the relations, and ways that may come near it
/// between two nodes, or hold it, for all that is known.
struct WayLook {
    WayLook(const KnownNodes& known_nodes, const std::vector<const NodeBoxes*>& node_boxes,
            const std::vector<UnitBox>& corridor_boxes, const std::unordered_set<std::int64_t>& member_ids)
        : known(known_nodes), boxes(node_boxes), corridor(corridor_boxes), members(member_ids) {}
    const KnownNodes& known;
    const std::vector<const NodeBoxes*>& boxes; ///< one a file
    const std::vector<UnitBox>& corridor;
    const std::unordered_set<std::int64_t>& members;
    osmium::memory::Buffer ways{64 * 1024,
                                osmium::memory::Buffer::auto_grow::yes}; ///< near ones and members, whole
    /// Ways without a node near: only their node ids, for most will turn out to be elsewhere.
    std::vector<std::int64_t> far_ways;
    std::vector<std::uint32_t> far_starts{0}; ///< into far_refs, one more than ways
    std::vector<std::int64_t> far_refs;
    Deleted deleted;
    std::int64_t newest_s = 0;
    std::uint64_t count = 0;
    Layers layers;
    Tallies tallies; ///< of all ways through known nodes
    void take(const osmium::Way& way);
    bool may_touch(const osmium::WayNodeList& refs) const;
    void absorb(WayLook&& other);

  private:
    void tally(const osmium::Way& way);
};

/// Fourth look: positions of nodes that are still needed, and edits of the tagged ones.
class LateNodeLook {
  public:
    explicit LateNodeLook(const std::vector<std::int64_t>& wanted_sorted)
        : m_wanted(wanted_sorted), m_next(wanted_sorted.begin()) {}
    KnownNodes nodes;
    std::vector<std::pair<std::int64_t, std::int64_t>>
        edited_s; ///< id and time of every wanted node that has tags
    void take(const osmium::Node& node);
    void absorb(LateNodeLook&& other);

  private:
    const std::vector<std::int64_t>& m_wanted;
    std::vector<std::int64_t>::const_iterator m_next;
    std::int64_t m_last = INT64_MIN;
};

/// Throws osmium::io_error where a key or a value holds a zero byte, as far as that can be seen. libosmium
/// ends texts with one: what follows would be taken for other tags, or be read beyond their end.
void refuse_zero_bytes(const osmium::TagList& tags);

Tags tags_of(const osmium::TagList& tags);
Object object_of(const osmium::OSMObject& object);

} // namespace waywarden::map
