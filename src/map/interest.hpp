#pragma once

namespace osmium {
class TagList;
class Way;
class WayNodeList;
} // namespace osmium

/// Which objects of a map can matter to a walker. Asked of every object in a file, so it looks at the raw
/// tags.
namespace waywarden::map {

/// Roads, paths, rails, waterways, ferries, barriers, cliffs, coastline and the like, lifecycle states
/// included.
bool is_line_of_interest(const osmium::TagList& tags);

/// Whether a closed way with such tags is an area by OSM's polygon features, and one that can matter.
/// Source of the rule: the list of polygon features of the OSM wiki (CC0), cut to what is asked here.
bool is_area_of_interest(const osmium::TagList& tags);

/// Whether the nodes of a way close to a ring.
bool is_ring(const osmium::WayNodeList& nodes);

/// A line, a closed way that is an area, or the outline of a danger.
bool is_of_interest(const osmium::Way& way);

/// An area of interest that may be so large that a route lies in it without any of its nodes near: not a
/// building.
bool can_hold_a_route(const osmium::TagList& tags);

/// Such an area that endangers whoever is in it: what is not known of it is worth reporting however far it
/// seems.
bool is_danger_area(const osmium::TagList& tags);

/// Such an area where it is drawn as a way that does not close: no line that may be walked or crossed as one,
/// nor a trench, which is drawn as a line (OSM wiki, from memory).
bool is_danger_outline(const osmium::TagList& tags);

/// Water, what the tide covers, and ice.
bool is_wet_area(const osmium::TagList& tags);

} // namespace waywarden::map
