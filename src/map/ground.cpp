#include "map/ground.hpp"

#include <algorithm>

namespace waywarden::map {

namespace {

constexpr std::size_t k_few_tags = 8;

} // namespace

bool Box::holds(geo::Position p) const {
    return p.lon_deg >= west_deg && p.lon_deg <= east_deg && p.lat_deg >= south_deg && p.lat_deg <= north_deg;
}

Tags::Tags(std::vector<std::pair<std::string, std::string>> pairs) : m_pairs(std::move(pairs)) {
    std::sort(m_pairs.begin(), m_pairs.end());
}

std::string_view Tags::get(std::string_view key) const {
    // Few tags are looked through faster than a search by halves.
    if (m_pairs.size() <= k_few_tags) {
        for (const auto& [name, value] : m_pairs)
            if (name == key) return value;
        return {};
    }
    const auto at = std::lower_bound(m_pairs.begin(), m_pairs.end(), key,
                                     [](const auto& pair, std::string_view k) { return pair.first < k; });
    return at != m_pairs.end() && at->first == key ? std::string_view(at->second) : std::string_view();
}

std::string to_string(ObjectId id) {
    const char* type = id.type == ObjectType::node  ? "node/"
                       : id.type == ObjectType::way ? "way/"
                                                    : "relation/";
    return type + std::to_string(id.id);
}

const TaggedNode* Ground::tagged(NodeIndex node) const {
    if (node == k_no_node) return nullptr;
    const auto at =
        std::lower_bound(node_tags_by_node.begin(), node_tags_by_node.end(), node,
                         [this](std::uint32_t i, NodeIndex n) { return tagged_nodes[i].node < n; });
    return at != node_tags_by_node.end() && tagged_nodes[*at].node == node ? &tagged_nodes[*at] : nullptr;
}

bool Ground::covers(geo::Position p) const {
    return std::any_of(sources.begin(), sources.end(), [p](const Source& source) {
        if (source.bounds) return source.bounds->holds(p);
        return source.node_bounds && source.node_bounds->holds(p);
    });
}

} // namespace waywarden::map
