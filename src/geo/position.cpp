#include "geo/position.hpp"

#include <GeographicLib/Geodesic.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace waywarden::geo {

namespace {

constexpr double k_equator_radius_m = 6378137.0;
constexpr double k_flattening = 1 / 298.257223563;
constexpr double k_eccentricity2 = k_flattening * (2 - k_flattening);
constexpr double k_radians_per_deg = std::numbers::pi / 180;

} // namespace

LocalFrame::LocalFrame(Position origin) : m_origin(origin) {
    const double sine = std::sin(origin.lat_deg * k_radians_per_deg);
    const double w = 1 - k_eccentricity2 * sine * sine;
    m_north_m_per_deg = k_radians_per_deg * k_equator_radius_m * (1 - k_eccentricity2) / (w * std::sqrt(w));
    m_east_m_per_deg =
        k_radians_per_deg * k_equator_radius_m / std::sqrt(w) * std::cos(origin.lat_deg * k_radians_per_deg);
}

Metres2 LocalFrame::to_plane(Position p) const {
    double east_deg = p.lon_deg - m_origin.lon_deg;
    if (east_deg > 180) east_deg -= 360;
    if (east_deg < -180) east_deg += 360;
    return {east_deg * m_east_m_per_deg, (p.lat_deg - m_origin.lat_deg) * m_north_m_per_deg};
}

Position LocalFrame::to_position(Metres2 m) const {
    double lon_deg = m_origin.lon_deg + m.x_m / m_east_m_per_deg;
    if (lon_deg > 180) lon_deg -= 360;
    if (lon_deg < -180) lon_deg += 360;
    return {lon_deg, m_origin.lat_deg + m.y_m / m_north_m_per_deg};
}

double distance_m(Position a, Position b) {
    double metres = 0;
    GeographicLib::Geodesic::WGS84().Inverse(a.lat_deg, a.lon_deg, b.lat_deg, b.lon_deg, metres);
    return metres;
}

double azimuth_deg(Position a, Position b) {
    double azimuth = 0, there = 0;
    GeographicLib::Geodesic::WGS84().Inverse(a.lat_deg, a.lon_deg, b.lat_deg, b.lon_deg, azimuth, there);
    return azimuth < 0 ? azimuth + 360 : azimuth;
}

NearestOnSegment nearest_on_segment(Metres2 p, Metres2 a, Metres2 b) {
    const Metres2 along = b - a;
    const double length2 = dot(along, along);
    const double fraction = length2 == 0 ? 0 : std::clamp(dot(p - a, along) / length2, 0.0, 1.0);
    const Metres2 point = a + fraction * along;
    return {fraction, point, length_m(p - point)};
}

} // namespace waywarden::geo
