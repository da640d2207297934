#pragma once

#include "geo/position.hpp"
#include "map/attribution.hpp"
#include "map/surroundings.hpp"

#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace waywarden::map {

/// An object's tags, sorted by key.
class Tags {
  public:
    Tags() = default;
    explicit Tags(std::vector<std::pair<std::string, std::string>> pairs);
    /// The value, or an empty view where the key is absent.
    std::string_view get(std::string_view key) const;
    bool has(std::string_view key) const { return !get(key).empty(); }
    bool is(std::string_view key, std::string_view value) const { return get(key) == value; }
    const std::vector<std::pair<std::string, std::string>>& pairs() const { return m_pairs; }

  private:
    std::vector<std::pair<std::string, std::string>> m_pairs;
};

enum class ObjectType : std::uint8_t { node, way, relation };

struct ObjectId {
    ObjectType type = ObjectType::node;
    std::int64_t id = 0;
    friend auto operator<=>(const ObjectId&, const ObjectId&) = default;
};
std::string to_string(ObjectId id); ///< "way/123"

/// What every OSM object has.
struct Object {
    ObjectId id;
    Tags tags;
    std::int64_t edited_s = 0; ///< Unix time of the last edit; 0 where the file does not say
};

using NodeIndex = std::uint32_t;
using WayIndex = std::uint32_t;
constexpr NodeIndex k_no_node = std::numeric_limits<NodeIndex>::max();

/// A node of a kept way. Ways that share a node share its index.
struct Node {
    std::int64_t id = 0;
    geo::Position position;
};

/// A line on the map, with all its nodes, also those far from the route. A way of which the extract lacks
/// nodes appears as several parts with the same id, cut where nodes are missing.
struct Way {
    Object object;
    std::vector<NodeIndex> nodes; ///< two or more
    bool whole = true;            ///< false: a part of a way of which nodes are missing
};

/// An area on the map: from a closed way or a multipolygon relation.
struct Area {
    struct Polygon {
        std::vector<geo::Position> outer; ///< closed: first equals last
        std::vector<std::vector<geo::Position>> inner;
    };
    Object object;
    std::vector<Polygon> polygons;
};

/// A tagged node that is on no kept way, or is on one and carries tags (barrier, crossing, ford, place …).
struct TaggedNode {
    Object object;
    geo::Position position;
    NodeIndex node = k_no_node; ///< where a kept way runs through it
};

/// What was wrong with the extract near the route: each is a reason not to vouch for a stretch.
struct Shortfall {
    enum class Kind {
        way_lacks_nodes, ///< a way runs through nodes that the extract does not hold
        area_lacks_ways, ///< a multipolygon relation lacks a member
        area_broken,     ///< rings that cannot be assembled
        area_open,       ///< a danger whose way does not close
        other
    };
    Kind kind = Kind::other;
    ObjectId object;
    std::optional<geo::Position> position; ///< somewhere on it, near the route if it can be said
    std::string text;
    /// Which routes are to be told: any, those near what is known of it, or for what is wet within around_m.
    /// All but `near` harm: what is not known of them may lie nearer than what is.
    enum class Concerns { near, near_or_nearer, around, all };
    Concerns concerns = Concerns::all;
    std::vector<geo::Position> known =
        {};            ///< all that is known of where it lies; empty where it concerns all
    bool ring = false; ///< `known` is closed in order, and concerns those within it too
};

struct Box {
    double west_deg = 0, south_deg = 0, east_deg = 0, north_deg = 0;
    bool holds(geo::Position p) const; ///< its edges belong to it
};

/// One file that was read.
struct Source {
    std::string path;
    std::optional<std::string> data_until; ///< ISO 8601, UTC; from the header, else the newest object's edit
    bool data_until_from_header = false;
    std::optional<Box> bounds;      ///< from the header; absent where the file does not say
    std::optional<Box> node_bounds; ///< of all node positions (may reach far outside what is covered)
    std::string attribution{k_osm_attribution}; ///< whom to credit: attribution_of() its header
};

/// The part of the map that a route needs. Nodes by ascending id; ways, areas and tagged nodes by ascending
/// id.
struct Ground {
    std::vector<Node> nodes;
    std::vector<Way> ways;
    std::vector<Way> around; ///< roads and paths farther out, for the way to help; on the same nodes
    std::vector<Area> areas;
    std::vector<TaggedNode> tagged_nodes;
    std::vector<Shortfall> shortfalls;
    std::vector<Source> sources;
    Layers layers;                ///< of the files as wholes
    Tallies tallies;              ///< what tagged_lengths was summed up from
    TaggedLengths tagged_lengths; ///< of roads and paths within Corridor::shares_m

    /// The tagged node on a way's node, or null. O(log n).
    const TaggedNode* tagged(NodeIndex node) const;
    std::vector<std::uint32_t>
        node_tags_by_node; ///< indices into tagged_nodes, by ascending .node; made by the reader

    /// Whether the files say they cover the place: inside any header bounds, or where none are given
    /// inside node_bounds.
    bool covers(geo::Position p) const;
};

} // namespace waywarden::map
