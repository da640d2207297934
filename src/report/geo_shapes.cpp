#include "report/geo_shapes.hpp"

#include <algorithm>
#include <cmath>

namespace waywarden::report {

namespace {

constexpr double k_same_deg = 1e-9; ///< a tenth of a millimetre

bool same(geo::Position a, geo::Position b) {
    return std::abs(a.lon_deg - b.lon_deg) < k_same_deg && std::abs(a.lat_deg - b.lat_deg) < k_same_deg;
}

/// The longitude brought within half the globe of another.
double near_to(double lon_deg, double other_deg) {
    if (lon_deg - other_deg > 180) return lon_deg - 360;
    if (lon_deg - other_deg < -180) return lon_deg + 360;
    return lon_deg;
}

geo::Position between(const match::TracePoint& a, const match::TracePoint& b, double at_m) {
    const double length_m = b.at_m - a.at_m;
    const double share = length_m > 0 ? std::clamp((at_m - a.at_m) / length_m, 0.0, 1.0) : 0.0;
    const double to_lon_deg = near_to(b.position.lon_deg, a.position.lon_deg);
    double lon_deg = a.position.lon_deg + share * (to_lon_deg - a.position.lon_deg);
    if (lon_deg > 180) lon_deg -= 360;
    if (lon_deg < -180) lon_deg += 360;
    return {lon_deg, a.position.lat_deg + share * (b.position.lat_deg - a.position.lat_deg)};
}

void append(Line& line, geo::Position p) {
    if (line.empty() || !same(line.back(), p)) line.push_back(p);
}

/// The part of one stretch's line between the two distances.
Line part_of(const std::vector<match::TracePoint>& line, double from_m, double to_m) {
    Line out;
    for (std::size_t i = 1; i < line.size(); ++i) {
        const double low_m = std::max(from_m, line[i - 1].at_m), high_m = std::min(to_m, line[i].at_m);
        if (low_m > high_m) continue;
        append(out, between(line[i - 1], line[i], low_m));
        append(out, between(line[i - 1], line[i], high_m));
    }
    return out;
}

} // namespace

std::vector<Line> line_between(const std::vector<survey::StretchSurvey>& stretches, double from_m,
                               double to_m) {
    std::vector<Line> out;
    for (const survey::StretchSurvey& stretch : stretches) {
        if (stretch.to_m < from_m || stretch.from_m > to_m) continue;
        const Line part = part_of(stretch.line, from_m, to_m);
        if (part.empty()) continue;
        if (out.empty() || !same(out.back().back(), part.front())) out.emplace_back();
        for (const geo::Position p : part)
            append(out.back(), p);
    }
    std::erase_if(out, [](const Line& line) { return line.size() < 2; });
    return out;
}

std::vector<Line> cut_at_antimeridian(const std::vector<Line>& lines) {
    std::vector<Line> out;
    for (const Line& line : lines) {
        if (line.size() < 2) continue;
        out.emplace_back();
        for (const geo::Position p : line) {
            Line& now = out.back();
            if (!now.empty() && std::abs(p.lon_deg - now.back().lon_deg) > 180) {
                const geo::Position before = now.back();
                const double edge_deg = before.lon_deg < 0 ? -180 : 180;
                const double lon_deg = near_to(p.lon_deg, before.lon_deg);
                const double width_deg = lon_deg - before.lon_deg;
                const double share = width_deg != 0 ? (edge_deg - before.lon_deg) / width_deg : 0;
                const double lat_deg = before.lat_deg + share * (p.lat_deg - before.lat_deg);
                now.push_back({edge_deg, lat_deg});
                out.push_back({{-edge_deg, lat_deg}});
            }
            out.back().push_back(p);
        }
    }
    return out;
}

std::optional<map::Box> box_around(const Line& positions) {
    if (positions.empty()) return std::nullopt;
    map::Box box{180, 90, -180, -90};
    double west_deg = 360, east_deg = 0; // counted from 0 to 360, for what spans 180 degrees
    for (const geo::Position p : positions) {
        box.west_deg = std::min(box.west_deg, p.lon_deg);
        box.east_deg = std::max(box.east_deg, p.lon_deg);
        box.south_deg = std::min(box.south_deg, p.lat_deg);
        box.north_deg = std::max(box.north_deg, p.lat_deg);
        const double turned_deg = p.lon_deg < 0 ? p.lon_deg + 360 : p.lon_deg;
        west_deg = std::min(west_deg, turned_deg);
        east_deg = std::max(east_deg, turned_deg);
    }
    if (east_deg - west_deg < box.east_deg - box.west_deg && west_deg <= 180 && east_deg > 180) {
        box.west_deg = west_deg;
        box.east_deg = east_deg - 360;
    }
    return box;
}

} // namespace waywarden::report
