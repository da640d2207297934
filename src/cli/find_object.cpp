#include "cli/find_object.hpp"

#include "error.hpp"

#include <fmt/format.h>
#include <osmium/io/any_input.hpp>
#include <osmium/osm/node.hpp>
#include <osmium/osm/relation.hpp>
#include <osmium/osm/way.hpp>

#include <charconv>
#include <optional>
#include <variant>

namespace waywarden::cli {

namespace {

/// Where an object is, or the object that says where it is.
using Step = std::variant<geo::Position, map::ObjectId>;

map::ObjectType type_of(osmium::item_type type) {
    return type == osmium::item_type::node  ? map::ObjectType::node
           : type == osmium::item_type::way ? map::ObjectType::way
                                            : map::ObjectType::relation;
}

osmium::osm_entity_bits::type bits_of(map::ObjectType type) {
    return type == map::ObjectType::node  ? osmium::osm_entity_bits::node
           : type == map::ObjectType::way ? osmium::osm_entity_bits::way
                                          : osmium::osm_entity_bits::relation;
}

std::optional<Step> step_of(const osmium::OSMObject& object) {
    if (object.type() == osmium::item_type::node) {
        const osmium::Location at = static_cast<const osmium::Node&>(object).location();
        if (!at.valid()) return std::nullopt;
        return geo::Position{at.lon(), at.lat()};
    }
    if (object.type() == osmium::item_type::way) {
        const osmium::WayNodeList& nodes = static_cast<const osmium::Way&>(object).nodes();
        if (nodes.empty()) return std::nullopt;
        return map::ObjectId{map::ObjectType::node, nodes[nodes.size() / 2].ref()};
    }
    for (const osmium::RelationMember& member : static_cast<const osmium::Relation&>(object).members())
        if (member.type() == osmium::item_type::node || member.type() == osmium::item_type::way)
            return map::ObjectId{type_of(member.type()), member.ref()};
    return std::nullopt;
}

/// The step of the newest version in a file; none where the file does not hold it.
std::optional<Step> step_in(const std::string& path, map::ObjectId id) {
    std::optional<Step> found;
    try {
        osmium::io::Reader reader(path, bits_of(id.type));
        while (const osmium::memory::Buffer buffer = reader.read())
            for (const osmium::OSMObject& object : buffer.select<osmium::OSMObject>())
                if (object.id() == id.id && type_of(object.type()) == id.type)
                    if (const auto step = step_of(object)) found = step;
        reader.close();
    } catch (const std::exception& e) {
        throw DataError(
            fmt::format("{}: cannot be read as a map ({}); check the file or get it anew", path, e.what()));
    }
    return found;
}

} // namespace

map::ObjectId parse_object(const std::string& text) {
    constexpr std::pair<std::string_view, map::ObjectType> k_types[] = {
        {"node/", map::ObjectType::node},
        {"way/", map::ObjectType::way},
        {"relation/", map::ObjectType::relation}};
    for (const auto& [prefix, type] : k_types) {
        if (!text.starts_with(prefix)) continue;
        std::int64_t id = 0;
        const char* end = text.data() + text.size();
        const auto [stop, error] = std::from_chars(text.data() + prefix.size(), end, id);
        if (error == std::errc() && stop == end) return {type, id};
    }
    throw ArgumentError(
        fmt::format("--osm {}: names no object; write it as way/123, node/123 or relation/123", text));
}

geo::Position place_of_object(std::span<const std::string> paths, map::ObjectId id) {
    constexpr int k_most_steps = 3;
    map::ObjectId target = id;
    for (int i = 0; i < k_most_steps; ++i) {
        std::optional<Step> step;
        for (const std::string& path : paths)
            if (const auto found = step_in(path, target)) step = found;
        if (!step)
            throw DataError(
                fmt::format("--osm {}: the map does not hold {} with a place; check the number or take "
                            "a map that covers it",
                            map::to_string(id), map::to_string(target)));
        if (const auto* place = std::get_if<geo::Position>(&*step)) return *place;
        target = std::get<map::ObjectId>(*step);
    }
    throw DataError(fmt::format("--osm {}: its place cannot be found", map::to_string(id)));
}

} // namespace waywarden::cli
