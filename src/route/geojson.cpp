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
        if (root.is_object()) check_system(root);
        add(root, "");
        m_route.format = Format::geojson;
        m_route.read_as = "line";
        if (m_route.segments.empty())
            refuse({m_path, 0}, "holds no LineString with points",
                   "draw the route as a line and export it again");
        if (m_areas) tell_areas_left_out(m_route, 0);
        if (m_route.name.empty()) m_route.name = text_of(root, "name");
        return std::move(m_route);
    }

  private:
    /// RFC 7946, section 4: positions are WGS 84. The `crs` of the specification of 2008 may say otherwise.
    void check_system(const json& root) {
        const auto crs = root.find("crs");
        if (crs == root.end() || crs->is_null()) return;
        const auto properties = crs->is_object() ? crs->find("properties") : crs->end();
        std::string name;
        if (crs->is_object() && properties != crs->end() && properties->is_object())
            name = text_of(*properties, "name");
        const bool wgs84 = name.ends_with("CRS84") || name.ends_with(":4326");
        if (!wgs84)
            refuse({m_path, 0},
                   fmt::format("is in the coordinate system \"{}\", not WGS 84", clean_name(name)),
                   "export the route again as WGS 84, longitude and latitude");
    }

    /// NOLINTNEXTLINE(misc-no-recursion): at most k_deepest deep
    void add(const json& object, const std::string& name) {
        if (!object.is_object())
            refuse({m_path, 0}, "a part of the file is no GeoJSON object", "see RFC 7946, section 3");
        const std::string type = text_of(object, "type");
        if (type == "FeatureCollection") {
            for (const json& feature : list_of(object, "features"))
                add(feature, name);
        } else if (type == "Feature") {
            add_feature(object);
        } else if (type == "GeometryCollection") {
            for (const json& geometry : list_of(object, "geometries"))
                add(geometry, name);
        } else {
            add_geometry(object, type, name);
        }
    }

    /// NOLINTNEXTLINE(misc-no-recursion)
    void add_feature(const json& feature) {
        const auto geometry = feature.find("geometry"), properties = feature.find("properties");
        if (geometry == feature.end() || geometry->is_null()) return; // unlocated (section 3.2)
        const bool named = properties != feature.end() && properties->is_object();
        add(*geometry, named ? text_of(*properties, "name") : "");
    }

    void add_geometry(const json& object, const std::string& type, const std::string& name) {
        if (type == "LineString") {
            add_line(list_of(object, "coordinates"), name);
        } else if (type == "MultiLineString") {
            for (const json& line : list_of(object, "coordinates"))
                add_line(line, name);
        } else if (type == "Point") {
            add_waypoint(list_of(object, "coordinates"), name);
        } else if (type == "MultiPoint") {
            for (const json& position : list_of(object, "coordinates"))
                add_waypoint(position, name);
        } else if (type == "Polygon" || type == "MultiPolygon") {
            m_areas = true;
        } else {
            refuse({m_path, 0},
                   type.empty() ? "an object has no type, so this is no GeoJSON"
                                : fmt::format("\"{}\" is no type of GeoJSON", clean_name(type)),
                   "see RFC 7946, section 1.4");
        }
    }

    const json& list_of(const json& object, const char* key) {
        const auto at = object.find(key);
        if (at == object.end() || !at->is_array())
            refuse({m_path, 0},
                   fmt::format("\"{}\" of a {} is not a list", key, clean_name(text_of(object, "type"))),
                   "see RFC 7946, section 3");
        return *at;
    }

    void add_waypoint(const json& position, const std::string& name) {
        if (position.is_array() && position.empty()) return; // as null (section 3.1)
        const RoutePoint p = point(position);
        m_route.waypoints.push_back({name, p.position, p.elevation_m, 0});
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
        if (position.size() > 2 && position[2].is_number())
            elevation_m = elevation(position[2].get<double>());
        return {{at.lon_deg, at.lat_deg}, elevation_m, 0};
    }

    const std::string& m_path;
    Route m_route;
    std::size_t m_positions = 0;
    bool m_areas = false;
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
    } catch (const json::out_of_range& e) {
        const std::string words = e.what(); // "... number overflow parsing '1e999'"; its place is not told
        const std::string number = words.substr(std::min(words.rfind(' '), words.size()));
        refuse({path, 0}, "a number is too large: " + clean_name(number),
               "export the route again or mend the file");
    }
    return GeoJsonReader(path).read(root);
}

} // namespace waywarden::route
