#pragma once

#include "report/html_draw.hpp"

#include <string>

namespace waywarden::report {

/// What the signs on the map stand for, by their weight.
struct SignWords {
    const char *error = "objection", *warning = "caution", *note = "note";
    const char* all = "the numbers of the findings";
    const char* of(rules::Level level) const {
        return level == rules::Level::error ? error : level == rules::Level::warning ? warning : note;
    }
};

/// One route of the page with what its parts share.
struct PageRoute {
    const Assessed& route;
    std::size_t number = 1; ///< from 1 in the page
    int heading = 2;        ///< level of its sections' headings
    MapPlane plane;
    std::vector<PlacedSign> signs; ///< in the order of their numbers
    SignWords words = {};
    std::string attribution = {}; ///< in sentences, whom the map credits
};
PageRoute page_route(const Assessed& route, std::size_t number, int heading);

/// The start of a section with its heading; a landmark where the route stands alone on the page, for names
/// must be unique.
std::string begin_section(const PageRoute& page, const char* kind, const char* title);
std::string heading(const PageRoute& page, int below, const std::string& id, const std::string& text_html);

/// The map with its legend; the groups `rN-land`, `rN-names`, `rN-route` and `rN-signs` in it are what the
/// sheets show too.
std::string map_section(const PageRoute& page);
/// How wide a pixel of the map is, for a page of the usual width and for a narrow one; a rule of the style.
std::string map_style(const PageRoute& page);

bool has_sheets(const PageRoute& page); ///< not for routes of over 300 km
std::string sheets_section(const PageRoute& page, const Assessment& assessment);
std::string profile_section(const PageRoute& page); ///< "" where the file has no heights
std::string findings_section(const PageRoute& page);
std::string stretches_section(const PageRoute& page);
std::string crossings_section(const PageRoute& page);
std::string legs_section(const PageRoute& page); ///< "" where nothing parts the walk
std::string card_section(const PageRoute& page); ///< "" where there is no card
std::string places_section(const PageRoute& page);
std::string verdict_section(const PageRoute& page);
std::string not_seen_section(const PageRoute& page);

/// The sign of a finding as it stands on the map, for text: number in its shape.
std::string sign_svg(const rules::Finding& finding, std::size_t number);
const char* sign_class(const rules::Finding& finding); ///< "error", "warning", "note" or "accepted"

} // namespace waywarden::report
