#include "route/xml.hpp"

#include "route/text.hpp"

#include <fmt/format.h>

namespace waywarden::route {

void parse_xml(pugi::xml_document& document, const std::string& text, const std::string& path) {
    // As a fragment, so that what follows the root is seen at all.
    const auto result = document.load_buffer(text.data(), text.size(),
                                             pugi::parse_default | pugi::parse_fragment, pugi::encoding_utf8);
    Lines lines(text);
    if (!result || !document.document_element())
        refuse({path, lines.line_of(static_cast<std::size_t>(result.offset))},
               fmt::format("not well-formed XML ({})", result ? "no element" : result.description()),
               "export the route again or mend the file at that line");
    for (pugi::xml_node after = document.document_element().next_sibling(); after;
         after = after.next_sibling())
        refuse({path, lines.line_of(offset_of(after))}, "the file goes on after its end",
               "if it holds two files, save and check each alone");
}

} // namespace waywarden::route
