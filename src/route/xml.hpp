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

inline std::string child_text(const pugi::xml_node& node, std::string_view name) {
    return child(node, name).text().get();
}

/// Parses UTF-8 text; throws DataError "FILE:LINE: not well-formed XML ...".
void parse_xml(pugi::xml_document& document, const std::string& text, const std::string& path);

/// Where a node begins in the text.
inline std::size_t offset_of(const pugi::xml_node& node) {
    const std::ptrdiff_t offset = node.offset_debug();
    return offset < 0 ? 0 : static_cast<std::size_t>(offset);
}

} // namespace waywarden::route
