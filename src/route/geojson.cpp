#include "route/formats.hpp"
#include "route/text.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace waywarden::route {

namespace {

using nlohmann::json;

constexpr int k_deepest = 64; // a FeatureCollection of GeometryCollections needs nine

/// How deep brackets nest outside strings; deep nesting is refused before anything recursive sees it.
int depth_of(const std::string& text) {
    int depth = 0, most = 0;
    bool in_string = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (in_string) {
            if (text[i] == '\\')
                ++i;
            else if (text[i] == '"')
                in_string = false;
        } else if (text[i] == '"') {
            in_string = true;
        } else if (text[i] == '[' || text[i] == '{') {
            most = std::max(most, ++depth);
        } else if (text[i] == ']' || text[i] == '}') {
            --depth;
        }
    }
    return most;
}

std::string text_of(const json& object, const char* key) {
    const auto at = object.find(key);
    return at != object.end() && at->is_string() ? at->get<std::string>() : "";
}

class GeoJsonReader {
  public:
    explicit GeoJsonReader(const std::string& path) : m_path(path) {}

    Route read(const json& root) {
        add(root, "");
        m_route.format = Format::geojson;
        m_route.read_as = "line";
        if (m_route.segments.empty())
            refuse({m_path, 0}, "holds no LineString with points",
                   "draw the route as a line and export it again");
        if (m_route.name.empty() && root.is_object()) m_route.name = text_of(root, "name");
        return std::move(m_route);
    }

  private:
    void add(const json& object,
             const std::string& name) { // NOLINT(misc-no-recursion): at most k_deepest deep
        if (!object.is_object()) return;
        const std::string type = text_of(object, "type");
        const auto part = [&](const char* key) -> const json& {
            static const json none;
            const auto at = object.find(key);
            return at == object.end() ? none : *at;
        };
        if (type == "FeatureCollection") {
            for (const json& feature : part("features"))
                add(feature, name);
        } else if (type == "Feature") {
            const json& properties = part("properties");
            add(part("geometry"), properties.is_object() ? text_of(properties, "name") : "");
        } else if (type == "GeometryCollection") {
            for (const json& geometry : part("geometries"))
                add(geometry, name);
        } else if (type == "LineString") {
            add_line(part("coordinates"), name);
        } else if (type == "MultiLineString") {
            for (const json& line : part("coordinates"))
                add_line(line, name);
        } else if (type == "Point") {
            const RoutePoint p = point(part("coordinates"));
            m_route.waypoints.push_back({name, p.position, p.elevation_m, 0});
        }
    }

    void add_line(const json& coordinates, const std::string& name) {
        if (!coordinates.is_array())
            refuse({m_path, 0}, "the coordinates of a line are not a list", "see RFC 7946, section 3.1.4");
        Segment segment;
        for (const json& position : coordinates)
            segment.points.push_back(point(position));
        if (segment.points.empty()) return;
        if (m_route.name.empty()) m_route.name = name;
        m_route.segments.push_back(std::move(segment));
    }

    RoutePoint point(const json& position) {
        ++m_positions;
        const std::string which = fmt::format("position {} of the file", m_positions);
        if (!position.is_array() || position.size() < 2 || !position[0].is_number() ||
            !position[1].is_number())
            refuse({m_path, 0}, which + " is not [longitude, latitude] in numbers",
                   "see RFC 7946, section 3.1.1");
        const LonLat at = checked(position[0].get<double>(), position[1].get<double>(), {m_path, 0});
        std::optional<double> elevation_m;
        if (position.size() > 2 && position[2].is_number()) elevation_m = position[2].get<double>();
        return {{at.lon_deg, at.lat_deg}, elevation_m, 0};
    }

    const std::string& m_path;
    Route m_route;
    std::size_t m_positions = 0;
};

} // namespace

Route read_geojson(const std::string& text, const std::string& path) {
    if (depth_of(text) > k_deepest)
        refuse({path, 0}, fmt::format("JSON nested more than {} deep", k_deepest),
               "this is no route: export it again");
    json root;
    try {
        root = json::parse(text);
    } catch (const json::parse_error& e) {
        refuse({path, Lines(text).line_of(e.byte)}, "not well-formed JSON",
               "export the route again or mend the file at that line");
    }
    return GeoJsonReader(path).read(root);
}

} // namespace waywarden::route
