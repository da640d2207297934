#pragma once

#include "assess.hpp"

#include <string>
#include <vector>

/// The map of the HTML report on a plane: whole metres, east and north, of the grid where it has one.
namespace waywarden::report {

struct PlanePoint {
    int x = 0, y = 0; ///< metres from the plane's corner; y to the south, as SVG has it
    friend bool operator==(const PlanePoint&, const PlanePoint&) = default;
};

/// A rectangle, x and y as above.
struct PlaneFrame {
    int x = 0, y = 0, wide = 0, high = 0;
};

class MapPlane {
  public:
    /// On the region's grid; without one where the route leaves its area or goes from one zone to another:
    /// then on a plane that touches the ellipsoid in the route's middle.
    MapPlane(const Assessed& route, double reach_m);

    PlanePoint at(geo::Position p) const;
    PlaneFrame frame() const { return m_frame; } ///< of the route with its reach
    bool gridded() const { return m_gridded; }
    double north_deg() const { return m_north_deg; } ///< true north, clockwise from up, in the middle
    /// Grid metres of the corner (x and y 0); whole kilometres, so that grid lines are at whole thousands.
    double corner_east_m() const { return m_east_m; }
    double corner_north_m() const { return m_north_m; }

  private:
    void choose(const Assessed& route, geo::Position middle);
    geo::Metres2 metres(geo::Position p) const;

    geo::GridSystem m_system;
    geo::LocalFrame m_local;
    bool m_gridded = true;
    double m_north_deg = 0;
    double m_east_m = 0, m_north_m = 0; ///< of the corner
    PlaneFrame m_frame;
};

} // namespace waywarden::report
