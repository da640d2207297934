#pragma once

#include "map/ground.hpp"

#include <fmt/format.h>

#include <string>

/// All that a Ground holds, but for the paths of its sources, as text that can be compared and read.
namespace waywarden::map {

inline std::string text_of(geo::Position p) {
    return fmt::format("{:.7f},{:.7f} ", p.lon_deg, p.lat_deg);
}

inline std::string text_of(const std::vector<geo::Position>& line) {
    std::string text = "(";
    for (const geo::Position p : line)
        text += text_of(p);
    return text + ") ";
}

inline std::string text_of(const Object& object) {
    std::string text = fmt::format("{} at {} ", to_string(object.id), object.edited_s);
    for (const auto& [key, value] : object.tags.pairs())
        text += fmt::format("{}={} ", key, value);
    return text;
}

inline std::string text_of(const Way& way) {
    std::string text = text_of(way.object) + (way.whole ? "whole" : "part");
    for (const NodeIndex node : way.nodes)
        text += fmt::format(" {}", node);
    return text + "\n";
}

inline std::string text_of(const Source& source) {
    std::string text =
        fmt::format("source {} {}", source.data_until.value_or("-"), source.data_until_from_header);
    for (const auto& box : {source.bounds, source.node_bounds})
        text +=
            box ? fmt::format(" [{} {} {} {}]", box->west_deg, box->south_deg, box->east_deg, box->north_deg)
                : " []";
    return text + " " + source.attribution + "\n";
}

inline std::string text_of(const TaggedLengths& lengths) {
    std::string text;
    for (const auto& [name, l] : lengths)
        text += fmt::format("{}: {} {} {} {} {} {}\n", name, l.all_cm, l.pavement_cm, l.speed_cm, l.lit_cm,
                            l.right_cm, l.surface_cm);
    return text;
}

inline std::string text_of(const Layers& l) {
    return fmt::format("layers {} {} {} {} {} {} {} {} {} {} {}\n", l.pavement, l.speed, l.lit, l.right,
                       l.surface, l.grade, l.water, l.barrier, l.cliff, l.crossing, l.gate);
}

inline std::string text_of(const Ground& ground) {
    std::string text;
    for (const Source& source : ground.sources)
        text += text_of(source);
    for (const Node& node : ground.nodes)
        text += fmt::format("node {} ", node.id) + text_of(node.position) + "\n";
    for (const Way& way : ground.ways)
        text += text_of(way);
    text += "around\n";
    for (const Way& way : ground.around)
        text += text_of(way);
    for (const Area& area : ground.areas) {
        text += "area " + text_of(area.object);
        for (const Area::Polygon& polygon : area.polygons) {
            text += "outer " + text_of(polygon.outer);
            for (const auto& inner : polygon.inner)
                text += "inner " + text_of(inner);
        }
        text += "\n";
    }
    for (const TaggedNode& node : ground.tagged_nodes)
        text += text_of(node.object) + text_of(node.position) + fmt::format("{}\n", node.node);
    for (const std::uint32_t index : ground.node_tags_by_node)
        text += fmt::format("{} ", index);
    for (const Shortfall& s : ground.shortfalls)
        text += fmt::format("\nshortfall {} {} {} {} {}", static_cast<int>(s.kind), to_string(s.object),
                            s.text, static_cast<int>(s.concerns), s.ring) +
                (s.position ? text_of(*s.position) : "nowhere ") + text_of(s.known);
    return text + "\n" + text_of(ground.layers) + text_of(ground.tagged_lengths);
}

} // namespace waywarden::map
