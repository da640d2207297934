#include "error.hpp"
#include "route/formats.hpp"
#include "route/text.hpp"
#include "route/xml.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace waywarden::route {

namespace {

class GpxReader {
  public:
    GpxReader(const std::string& text, const std::string& path) : m_path(path), m_lines(text) {}

    Route read(const pugi::xml_node& gpx) {
        check_places(gpx);
        std::vector<Segment> tracks, routes;
        std::string track_name, route_name;
        for (const pugi::xml_node& node : gpx.children()) {
            const auto name = local_name(node);
            if (name == "wpt") m_route.waypoints.push_back(waypoint(node));
            if (name == "trk") {
                if (track_name.empty()) track_name = child_text(node, "name");
                for (const pugi::xml_node& part : node.children())
                    if (local_name(part) == "trkseg") add_segment(part, "trkpt", tracks);
            }
            if (name == "rte") {
                if (route_name.empty()) route_name = child_text(node, "name");
                add_segment(node, "rtept", routes);
            }
        }
        m_route.format = Format::gpx;
        choose(std::move(tracks), std::move(routes));
        const bool track = m_route.read_as == "track";
        m_route.name = track ? track_name : route_name;
        if (m_route.name.empty()) m_route.name = child_text(child(gpx, "metadata"), "name");
        if (m_route.name.empty()) m_route.name = child_text(gpx, "name");
        return std::move(m_route);
    }

  private:
    /// Every point stands where the schema has it; elsewhere it would be dropped without a word.
    void check_places(const pugi::xml_node& gpx) {
        bool inside = true;
        for (pugi::xml_node node = gpx; node; node = next_in_file(node, inside)) {
            const auto name = local_name(node), parent = local_name(node.parent());
            inside = name != "extensions"; // anybody's own
            const bool top = node.parent() == gpx;
            const bool astray = name == "trkpt"   ? parent != "trkseg"
                                : name == "rtept" ? parent != "rte"
                                : name == "trkseg"
                                    ? parent != "trk"
                                    : (name == "trk" || name == "rte" || name == "wpt") && !top;
            if (astray)
                refuse({m_path, m_lines.line_of(offset_of(node))},
                       fmt::format("a {} is not where GPX has it, but in {}", name, parent),
                       "mend the file there or export the route again");
        }
    }

    RoutePoint point(const pugi::xml_node& node) {
        const std::size_t line = m_lines.line_of(offset_of(node));
        const Where where{m_path, line};
        for (const std::string_view attribute : {"lat", "lon"}) {
            const auto given = std::count_if(node.attributes_begin(), node.attributes_end(),
                                             [&](const auto& a) { return a.name() == attribute; });
            if (given != 1)
                refuse(where,
                       fmt::format("a point has {}{}{}", given == 0 ? "no " : "", attribute,
                                   given == 0 ? "" : " twice"),
                       "every point needs lat and lon once: export the route again");
        }
        const LonLat at = checked(node.attribute("lon").value(), node.attribute("lat").value(), where);
        return {{at.lon_deg, at.lat_deg}, elevation(child_text(node, "ele")), line};
    }

    Waypoint waypoint(const pugi::xml_node& node) {
        const RoutePoint p = point(node);
        return {child_text(node, "name"), p.position, p.elevation_m, p.source_line};
    }

    void add_segment(const pugi::xml_node& parent, std::string_view point_name, std::vector<Segment>& out) {
        Segment segment;
        for (const pugi::xml_node& node : parent.children())
            if (local_name(node) == point_name) {
                segment.points.push_back(point(node));
                // A planner's route names its checkpoints.
                if (point_name == "rtept" && child(node, "name"))
                    m_named_route_points.push_back(waypoint(node));
            }
        if (!segment.points.empty()) out.push_back(std::move(segment));
    }

    /// Tracks, else routes, else waypoints; what is left out is said where it differs.
    void choose(std::vector<Segment> tracks, std::vector<Segment> routes) {
        if (!tracks.empty()) {
            m_route.read_as = "track";
            if (!routes.empty() && !same_places(tracks, routes))
                m_route.oddities.push_back(
                    {OddityKind::several_kinds, 0, 0, 0, tracks.front().points.front().position,
                     routes.front().points.front().source_line,
                     "The file holds a track and a route that differ; only the track was read."});
            m_route.segments = std::move(tracks);
        } else if (!routes.empty()) {
            m_route.read_as = "route";
            m_route.segments = std::move(routes);
        } else if (!m_route.waypoints.empty()) {
            m_route.read_as = "waypoints";
            Segment segment;
            for (const Waypoint& w : m_route.waypoints)
                segment.points.push_back({w.position, w.elevation_m, w.source_line});
            m_route.segments.push_back(std::move(segment));
        } else {
            refuse({m_path, 0}, "holds no points", "draw a track or a route and export it again");
        }
        add_named_route_points();
    }

    /// They are checkpoints of the walk, also beside a track. One that stands among the waypoints too counts
    /// once, in its place on the route.
    void add_named_route_points() {
        auto& all = m_route.waypoints;
        std::erase_if(all, [&](const Waypoint& one) {
            return std::any_of(m_named_route_points.begin(), m_named_route_points.end(),
                               [&](const Waypoint& other) {
                                   return other.name == one.name && other.position == one.position;
                               });
        });
        all.insert(all.end(), m_named_route_points.begin(), m_named_route_points.end());
    }

    /// Whether every point of the routes is also a point of the tracks: a copy, not another line.
    static bool same_places(const std::vector<Segment>& tracks, const std::vector<Segment>& routes) {
        std::vector<std::pair<double, double>> known;
        for (const Segment& s : tracks)
            for (const RoutePoint& p : s.points)
                known.emplace_back(p.position.lon_deg, p.position.lat_deg);
        std::sort(known.begin(), known.end());
        for (const Segment& s : routes)
            for (const RoutePoint& p : s.points)
                if (!std::binary_search(known.begin(), known.end(),
                                        std::pair(p.position.lon_deg, p.position.lat_deg)))
                    return false;
        return true;
    }

    const std::string& m_path;
    Lines m_lines;
    Route m_route;
    std::vector<Waypoint> m_named_route_points;
};

} // namespace

Route read_gpx(const std::string& text, const std::string& path) {
    pugi::xml_document document;
    parse_xml(document, text, path);
    return GpxReader(text, path).read(document.document_element());
}

} // namespace waywarden::route
