#pragma once

#include <cmath>

namespace waywarden::geo {

/// A place on the WGS 84 ellipsoid, in degrees; longitude first, as in GeoJSON.
struct Position {
    double lon_deg = 0;
    double lat_deg = 0;
    friend bool operator==(const Position&, const Position&) = default;
};

/// Metres on a flat plane, x to the east and y to the north.
struct Metres2 {
    double x_m = 0;
    double y_m = 0;
    friend Metres2 operator+(Metres2 a, Metres2 b) { return {a.x_m + b.x_m, a.y_m + b.y_m}; }
    friend Metres2 operator-(Metres2 a, Metres2 b) { return {a.x_m - b.x_m, a.y_m - b.y_m}; }
    friend Metres2 operator*(double k, Metres2 a) { return {k * a.x_m, k * a.y_m}; }
};

inline double dot(Metres2 a, Metres2 b) {
    return a.x_m * b.x_m + a.y_m * b.y_m;
}
/// Positive where b lies to the left of a.
inline double cross(Metres2 a, Metres2 b) {
    return a.x_m * b.y_m - a.y_m * b.x_m;
}
inline double length_m(Metres2 a) {
    return std::sqrt(dot(a, a));
}

/// The plane that touches the ellipsoid at an origin. A length `d` north or south of the origin is off by
/// tan(latitude) * d / 6371 km in its easting, because the length of a degree of longitude is taken from
/// the origin: 0.1 % at 5 km in Britain. Make one where the work is, they cost two cosines. Longitudes are
/// taken the short way round, so 180 degrees is no edge.
/// Source: radii of curvature of the WGS 84 ellipsoid, any textbook of geodesy.
class LocalFrame {
  public:
    explicit LocalFrame(Position origin);
    Metres2 to_plane(Position p) const;
    Position to_position(Metres2 m) const;
    Position origin() const { return m_origin; }

  private:
    Position m_origin;
    double m_east_m_per_deg;
    double m_north_m_per_deg;
};

/// Length of the geodesic on WGS 84, in metres (Karney 2013, as GeographicLib has it).
double distance_m(Position a, Position b);

/// Azimuth of the geodesic at `a` towards `b`, degrees clockwise from true north in [0, 360).
double azimuth_deg(Position a, Position b);

/// The nearest place to `p` on the segment from `a` to `b`.
struct NearestOnSegment {
    double fraction = 0; ///< 0 at a, 1 at b
    Metres2 point;
    double distance_m = 0;
};
NearestOnSegment nearest_on_segment(Metres2 p, Metres2 a, Metres2 b);

} // namespace waywarden::geo
