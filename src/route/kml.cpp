#include "route/formats.hpp"
#include "route/text.hpp"
#include "route/xml.hpp"

namespace waywarden::route {

namespace {

/// The node after this one in the order of the file, without recursion: files may be nested as deep as they
/// like.
pugi::xml_node next_in_file(pugi::xml_node node) {
    if (node.first_child()) return node.first_child();
    while (node && !node.next_sibling())
        node = node.parent();
    return node.next_sibling();
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
        for (pugi::xml_node node = kml; node; node = next_in_file(node)) {
            const auto name = local_name(node);
            if (name == "LineString")
                add_line(node);
            else if (name == "Track")
                add_track(node);
            else if (name == "Point")
                add_point(node);
        }
        m_route.format = Format::kml;
        m_route.read_as = "line";
        if (m_route.segments.empty())
            refuse({m_path, 0}, "holds no LineString with points",
                   "draw the route as a path and export it again");
        if (m_route.name.empty()) m_route.name = child_text(child(kml, "Document"), "name");
        return std::move(m_route);
    }

  private:
    /// "lon,lat[,alt]" separated by blanks (OGC KML 2.2, coordinates).
    std::vector<RoutePoint> coordinates(const pugi::xml_node& node) {
        const pugi::xml_node holder = child(node, "coordinates");
        const std::string_view text = holder.text().get();
        const std::size_t start = offset_of(holder);
        std::vector<RoutePoint> points;
        for (std::size_t at = 0; (at = text.find_first_not_of(" \t\r\n", at)) != std::string_view::npos;) {
            const std::size_t end = std::min(text.find_first_of(" \t\r\n", at), text.size());
            const std::string_view tuple = text.substr(at, end - at);
            // The text was decoded in place: offsets into it are near enough to name the line.
            points.push_back(tuple_point(tuple, ',', m_lines.line_of(start + at)));
            at = end;
        }
        return points;
    }

    RoutePoint tuple_point(std::string_view tuple, char separator, std::size_t line) {
        const std::size_t first = tuple.find(separator);
        const std::size_t second = first == std::string_view::npos ? first : tuple.find(separator, first + 1);
        const Where where{m_path, line};
        if (first == std::string_view::npos)
            refuse(where, "a coordinate has no latitude", "write longitude,latitude");
        const std::string_view lat =
            tuple.substr(first + 1, second == std::string_view::npos ? second : second - first - 1);
        const LonLat at = checked(tuple.substr(0, first), lat, where);
        const auto elevation_m =
            second == std::string_view::npos ? std::nullopt : number(tuple.substr(second + 1));
        return {{at.lon_deg, at.lat_deg}, elevation_m, line};
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
            if (local_name(c) == "coord")
                segment.points.push_back(tuple_point(c.text().get(), ' ', m_lines.line_of(offset_of(c))));
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
