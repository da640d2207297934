#pragma once

#include "geo/position.hpp"

#include <memory>
#include <vector>

/// Cutting lines and areas of the map off around a route, by GEOS.
namespace waywarden::survey {

using PlaneLine = std::vector<geo::Metres2>;

double length_of(const PlaneLine& line); ///< metres

/// An outer ring and its holes, closed.
struct PlanePolygon {
    PlaneLine outer;
    std::vector<PlaneLine> inner;
};

/// What lies within some metres of lines.
class Cutter {
  public:
    /// Throws InternalError where GEOS fails.
    Cutter(const std::vector<PlaneLine>& lines, double reach_m);
    ~Cutter();
    Cutter(const Cutter&) = delete;
    Cutter& operator=(const Cutter&) = delete;

    /// The parts of a line within reach, simplified to `detail_m`.
    std::vector<PlaneLine> cut(const PlaneLine& line, double detail_m) const;
    /// The rings of the parts of a polygon within reach. One that GEOS cannot make valid is left as it is.
    std::vector<PlaneLine> cut(const PlanePolygon& polygon, double detail_m) const;

    bool holds(geo::Metres2 p) const;       ///< whether a place is within reach
    std::vector<PlaneLine> outline() const; ///< the rings around what is within reach
    /// Rings of the ground within reach that lies to the right of lines (whole ones, not cut off) and not to
    /// the left of any, simplified.
    std::vector<PlaneLine> right_of(const std::vector<PlaneLine>& lines, double detail_m) const;

  private:
    struct Inside;
    std::unique_ptr<Inside> m_inside;
};

} // namespace waywarden::survey
