// GPX, GeoJSON and KML, told apart by their content as the program does. What is read, written as GPX or as
// GeoJSON and read again is the same line.
#include "fuzz/fuzz.hpp"
#include "route/read.hpp"

#include <fmt/format.h>

#include <cmath>

namespace waywarden::fuzz {

namespace {

void check(const route::Route& route) {
    must(!route.segments.empty(), "a route without a segment");
    double last_m = 0;
    const auto metres = route::metres_along(route);
    must(metres.size() == route.segments.size(), "metres for every segment");
    for (std::size_t s = 0; s < metres.size(); ++s) {
        must(!route.segments[s].points.empty(), "a segment without a point");
        must(metres[s].size() == route.segments[s].points.size(), "metres for every point");
        for (std::size_t i = 0; i < metres[s].size(); ++i) {
            const geo::Position p = route.segments[s].points[i].position;
            must(std::abs(p.lon_deg) <= 180 && std::abs(p.lat_deg) <= 90, "a point off the globe");
            must(std::isfinite(metres[s][i]) && metres[s][i] >= last_m, "metres that run back");
            last_m = metres[s][i];
        }
    }
    for (const route::Oddity& oddity : route.oddities)
        must(oddity.from_m <= oddity.to_m && oddity.to_m <= last_m + 0.01, "an oddity off the route");
}

/// Seventeen digits behind the point: a double to the last bit, but for the least of them.
std::string as_gpx(const route::Route& route) {
    std::string out = "<gpx version=\"1.1\" xmlns=\"http://www.topografix.com/GPX/1/1\"><trk>";
    for (const route::Segment& segment : route.segments) {
        out += "<trkseg>";
        for (const route::RoutePoint& p : segment.points) {
            out += fmt::format("<trkpt lat=\"{:.17f}\" lon=\"{:.17f}\">", p.position.lat_deg,
                               p.position.lon_deg);
            if (p.elevation_m) out += fmt::format("<ele>{:.17f}</ele>", *p.elevation_m);
            out += "</trkpt>";
        }
        out += "</trkseg>";
    }
    return out + "</trk></gpx>";
}

std::string as_geojson(const route::Route& route) {
    std::string out = R"({"type":"MultiLineString","coordinates":[)";
    for (const route::Segment& segment : route.segments) {
        out += "[";
        for (const route::RoutePoint& p : segment.points) {
            out += fmt::format("[{:.17f},{:.17f}", p.position.lon_deg, p.position.lat_deg);
            if (p.elevation_m) out += fmt::format(",{:.17f}", *p.elevation_m);
            out += "],";
        }
        out.back() = ']';
        out += ",";
    }
    out.back() = ']';
    return out + "}";
}

bool same(const std::optional<double>& a, const std::optional<double>& b) {
    return a.has_value() == b.has_value() && (!a || std::abs(*a - *b) <= 1e-9 * std::max(1.0, std::abs(*a)));
}

void must_be_same(const route::Route& route, const std::string& text) {
    const route::Route again = must_read([&] { return route::read_text(text, "again"); },
                                         "a route that was written cannot be read:");
    must(again.segments.size() == route.segments.size(), "a segment was lost or won:", text);
    for (std::size_t s = 0; s < route.segments.size(); ++s) {
        const auto &before = route.segments[s].points, &after = again.segments[s].points;
        must(before.size() == after.size(), "a point was lost or won:", text);
        for (std::size_t i = 0; i < before.size(); ++i) {
            const geo::Position a = before[i].position, b = after[i].position;
            must(std::abs(a.lon_deg - b.lon_deg) < 1e-12 && std::abs(a.lat_deg - b.lat_deg) < 1e-12,
                 "a point is elsewhere:", text);
            must(same(before[i].elevation_m, after[i].elevation_m), "a height differs:", text);
        }
    }
}

} // namespace

void target(std::string_view bytes) {
    const route::Route route = route::read_text(bytes, "fuzzed");
    check(route);
    const std::size_t lot = std::hash<std::string_view>()(bytes) % 8; // by the bytes: a find can be run again
    if (lot == 0) must_be_same(route, as_gpx(route));
    bool lines = true;
    for (const route::Segment& segment : route.segments)
        lines = lines && segment.points.size() > 1;
    if (lot == 1 && lines) must_be_same(route, as_geojson(route));
}

} // namespace waywarden::fuzz
