#include "tiny_map.hpp"

#include <algorithm>
#include <map>

namespace waywarden::twins {

namespace {

/// Every open way in pieces of two nodes.
TinyMap split(TinyMap map) {
    std::vector<MapWay> pieces;
    std::int64_t id = 1;
    for (const MapWay& way : map.ways) {
        if (way.closed()) {
            pieces.push_back(way);
            pieces.back().id = id++;
            continue;
        }
        for (std::size_t i = 0; i + 1 < way.nodes.size(); ++i)
            pieces.push_back({id++, {way.nodes[i], way.nodes[i + 1]}, way.tags});
    }
    map.ways = std::move(pieces);
    return map;
}

std::string swapped(std::string text, const std::string& a, const std::string& b) {
    const auto at_a = text.find(a), at_b = text.find(b);
    if (at_a != std::string::npos) return text.replace(at_a, a.size(), b);
    return at_b == std::string::npos ? text : text.replace(at_b, b.size(), a);
}

/// What is left of a way is right of it the other way round.
TagList turned_tags(const TagList& tags) {
    TagList out;
    for (const auto& [key, value] : tags) {
        const std::string turned =
            key.starts_with("oneway") && value == "yes" ? "-1" : swapped(value, "left", "right");
        out[swapped(swapped(key, "left", "right"), "forward", "backward")] = turned;
    }
    return out;
}

/// Every way drawn from its other end, but those whose direction says which side is which.
TinyMap reversed(TinyMap map) {
    for (MapWay& way : map.ways) {
        if (way.tags.contains("natural")) continue;
        std::reverse(way.nodes.begin(), way.nodes.end());
        way.tags = turned_tags(way.tags);
    }
    return map;
}

/// Other ids, also larger than 32 bits, in the opposite order.
TinyMap renumbered(TinyMap map) {
    const auto other = [](std::int64_t id) { return 9'000'000'000 - 7 * id; };
    for (MapNode& node : map.nodes)
        node.id = other(node.id);
    for (MapWay& way : map.ways) {
        way.id = other(way.id);
        for (std::int64_t& node : way.nodes)
            node = other(node);
    }
    std::reverse(map.nodes.begin(), map.nodes.end());
    std::reverse(map.ways.begin(), map.ways.end());
    return map;
}

/// The same ids, in a file that is not sorted.
TinyMap unsorted(TinyMap map) {
    std::reverse(map.nodes.begin(), map.nodes.end());
    std::reverse(map.ways.begin(), map.ways.end());
    return map;
}

/// A node more in the middle of every straight piece.
TinyMap refined(TinyMap map) {
    std::map<std::int64_t, geo::Position> at;
    for (const MapNode& node : map.nodes)
        at[node.id] = node.position;
    std::map<std::pair<std::int64_t, std::int64_t>, std::int64_t> middles;
    for (MapWay& way : map.ways) {
        std::vector<std::int64_t> nodes;
        for (const std::int64_t node : way.nodes) {
            if (!nodes.empty() && at.contains(node) && at.contains(nodes.back())) {
                const auto ends = std::minmax(nodes.back(), node);
                const auto [known, fresh] =
                    middles.try_emplace(ends, 20'000 + static_cast<std::int64_t>(middles.size()));
                const geo::Position a = at[ends.first], b = at[ends.second];
                if (fresh)
                    map.nodes.push_back(
                        {known->second, {(a.lon_deg + b.lon_deg) / 2, (a.lat_deg + b.lat_deg) / 2}, {}});
                nodes.push_back(known->second);
            }
            nodes.push_back(node);
        }
        way.nodes = std::move(nodes);
    }
    return map;
}

/// Every area as a relation of two untagged ways.
TinyMap as_relations(TinyMap map) {
    std::vector<MapWay> ways;
    std::int64_t id = 1000;
    for (const MapWay& way : map.ways) {
        const bool whole = std::all_of(way.nodes.begin(), way.nodes.end(), [&](std::int64_t node) {
            return std::any_of(map.nodes.begin(), map.nodes.end(),
                               [&](const MapNode& known) { return known.id == node; });
        });
        if (!way.closed() || !whole) {
            ways.push_back(way);
            continue;
        }
        const auto middle = way.nodes.begin() + static_cast<std::ptrdiff_t>(way.nodes.size() / 2);
        ways.push_back({id, {way.nodes.begin(), middle + 1}, {}});
        ways.push_back({id + 1, {middle, way.nodes.end()}, {}});
        map.relations.push_back({id, {id, id + 1}, way.tags});
        id += 2;
    }
    map.ways = std::move(ways);
    return map;
}

} // namespace

const std::vector<Change>& harmless_changes() {
    static const std::vector<Change> changes{
        {"ways split", split},        {"ways reversed", reversed}, {"ids renumbered", renumbered},
        {"files unsorted", unsorted}, {"nodes between", refined},  {"areas as relations", as_relations},
    };
    return changes;
}

} // namespace waywarden::twins
