#include "route/formats.hpp"
#include "route/text.hpp"
#include "route/xml.hpp"

#include <algorithm>
#include <vector>

namespace waywarden::route {

namespace {

constexpr const char* k_blanks = " \t\r\n";

/// The parts between separators, empty ones too.
std::vector<std::string_view> split(std::string_view text, std::string_view separators) {
    std::vector<std::string_view> parts;
    for (;;) {
        const std::size_t end = text.find_first_of(separators);
        parts.push_back(text.substr(0, end));
        if (end == std::string_view::npos) return parts;
        text.remove_prefix(end + 1);
    }
}

std::vector<std::string_view> words_of(std::string_view text) {
    std::vector<std::string_view> words = split(text, k_blanks);
    std::erase_if(words, [](std::string_view word) { return word.empty(); });
    return words;
}

std::string placemark_name(pugi::xml_node node) {
    for (; node; node = node.parent())
        if (local_name(node) == "Placemark") return child_text(node, "name");
    return "";
}

class KmlReader {
  public:
    KmlReader(const std::string& text, const std::string& path) : m_path(path), m_lines(text) {}

    Route read(const pugi::xml_node& kml) {
        std::size_t area_line = 0;
        for (pugi::xml_node node = kml; node; node = next_in_file(node)) {
            const auto name = local_name(node);
            if (name == "LineString")
                add_line(node);
            else if (name == "Track")
                add_track(node);
            else if (name == "Point")
                add_point(node);
            else if (name == "LinearRing" && area_line == 0)
                area_line = m_lines.line_of(offset_of(node));
        }
        m_route.format = Format::kml;
        m_route.read_as = "line";
        if (m_route.segments.empty())
            refuse({m_path, 0}, "holds no LineString with points",
                   "draw the route as a path and export it again");
        if (area_line > 0) tell_areas_left_out(m_route, area_line);
        if (m_route.name.empty()) m_route.name = child_text(child(kml, "Document"), "name");
        return std::move(m_route);
    }

  private:
    /// "lon,lat[,alt]" separated by blanks (OGC KML 2.2, coordinates).
    std::vector<RoutePoint> coordinates(const pugi::xml_node& node) {
        std::vector<RoutePoint> points;
        bool found = false;
        for (const pugi::xml_node& holder : node.children()) {
            if (local_name(holder) != "coordinates") continue;
            if (found)
                refuse({m_path, m_lines.line_of(offset_of(holder))}, "a line has two lists of coordinates",
                       "nobody can tell which is meant: export the route again");
            found = true;
            for (const pugi::xml_node& text : holder.children())
                add_tuples(text.value(), m_lines.line_of(offset_of(text)), points);
        }
        return points;
    }

    void add_tuples(std::string_view text, std::size_t first_line, std::vector<RoutePoint>& points) {
        Lines lines(text);
        for (std::size_t at = 0; (at = text.find_first_not_of(k_blanks, at)) != std::string_view::npos;) {
            const std::size_t end = std::min(text.find_first_of(k_blanks, at), text.size());
            points.push_back(
                tuple_point(split(text.substr(at, end - at), ","), first_line + lines.line_of(at) - 1));
            at = end;
        }
    }

    RoutePoint tuple_point(const std::vector<std::string_view>& numbers, std::size_t line) {
        const Where where{m_path, line};
        if (numbers.size() < 2) refuse(where, "a coordinate has no latitude", "write longitude,latitude");
        const LonLat at = checked(numbers[0], numbers[1], where);
        return {{at.lon_deg, at.lat_deg}, numbers.size() > 2 ? elevation(numbers[2]) : std::nullopt, line};
    }

    void add_line(const pugi::xml_node& node) {
        std::vector<RoutePoint> points = coordinates(node);
        if (points.empty()) return;
        if (m_route.name.empty()) m_route.name = placemark_name(node);
        m_route.segments.push_back({std::move(points)});
    }

    void add_track(const pugi::xml_node& node) {
        Segment segment;
        for (const pugi::xml_node& c : node.children())
            if (local_name(c) == "coord") {
                const std::string text = text_of(c);
                segment.points.push_back(tuple_point(words_of(text), m_lines.line_of(offset_of(c))));
            }
        if (segment.points.empty()) return;
        if (m_route.name.empty()) m_route.name = placemark_name(node);
        m_route.segments.push_back(std::move(segment));
    }

    void add_point(const pugi::xml_node& node) {
        for (const RoutePoint& p : coordinates(node))
            m_route.waypoints.push_back({placemark_name(node), p.position, p.elevation_m, p.source_line});
    }

    const std::string& m_path;
    Lines m_lines;
    Route m_route;
};

} // namespace

Route read_kml(const std::string& text, const std::string& path) {
    pugi::xml_document document;
    parse_xml(document, text, path);
    return KmlReader(text, path).read(document.document_element());
}

} // namespace waywarden::route
