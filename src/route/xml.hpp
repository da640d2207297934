#pragma once

#include <pugixml.hpp>

#include <string>
#include <string_view>

namespace waywarden::route {

/// The name without a namespace prefix: files use any prefix they like.
inline std::string_view local_name(const pugi::xml_node& node) {
    const std::string_view name = node.name();
    const std::size_t colon = name.rfind(':');
    return colon == std::string_view::npos ? name : name.substr(colon + 1);
}

inline pugi::xml_node child(const pugi::xml_node& node, std::string_view name) {
    for (const pugi::xml_node& c : node.children())
        if (local_name(c) == name) return c;
    return {};
}

/// All text of a node: comments and CDATA break it into several.
inline std::string text_of(const pugi::xml_node& node) {
    std::string text;
    for (const pugi::xml_node& c : node.children())
        if (c.type() == pugi::node_pcdata || c.type() == pugi::node_cdata) text += c.value();
    return text;
}

inline std::string child_text(const pugi::xml_node& node, std::string_view name) {
    return text_of(child(node, name));
}

/// The node after this one in the order of the file (empty after the last), without recursion: files may be
/// nested as deep as they like. With `inside` false, what the node holds is passed over.
inline pugi::xml_node next_in_file(pugi::xml_node node, bool inside = true) {
    if (inside && node.first_child()) return node.first_child();
    while (node && !node.next_sibling())
        node = node.parent();
    return node.next_sibling();
}

/// Parses UTF-8 text of one root element; throws DataError "FILE:LINE: ..." where it is not well-formed or
/// goes on after the root's end (two files in one: pugixml alone would read the first and drop the rest).
void parse_xml(pugi::xml_document& document, const std::string& text, const std::string& path);

/// Where a node begins in the text.
inline std::size_t offset_of(const pugi::xml_node& node) {
    const std::ptrdiff_t offset = node.offset_debug();
    return offset < 0 ? 0 : static_cast<std::size_t>(offset);
}

} // namespace waywarden::route
