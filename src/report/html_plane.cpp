#include "report/html_plane.hpp"

#include <algorithm>
#include <cmath>

namespace waywarden::report {

namespace {

constexpr double k_farthest_m = 2'000'000; ///< from the middle: beyond it no plane means anything

template <typename Use> void each_position(const Assessed& route, Use use) {
    for (const route::Segment& segment : route.route.segments)
        for (const route::RoutePoint& point : segment.points)
            use(point.position);
    for (const survey::StretchSurvey& stretch : route.survey.stretches)
        for (const match::TracePoint& point : stretch.line)
            use(point.position);
    for (const rules::Finding& finding : route.findings)
        use(finding.position);
}

geo::Position middle_of(const Assessed& route) {
    geo::Position first;
    bool known = false;
    each_position(route, [&](geo::Position p) {
        if (!known) first = p;
        known = true;
    });
    const geo::LocalFrame frame(first);
    geo::Metres2 low, high;
    each_position(route, [&](geo::Position p) {
        const geo::Metres2 at = frame.to_plane(p);
        low = {std::min(low.x_m, at.x_m), std::min(low.y_m, at.y_m)};
        high = {std::max(high.x_m, at.x_m), std::max(high.y_m, at.y_m)};
    });
    return frame.to_position(0.5 * (low + high));
}

int whole(double metres) {
    return static_cast<int>(std::lround(std::clamp(metres, -k_farthest_m, k_farthest_m)));
}

} // namespace

MapPlane::MapPlane(const Assessed& route, double reach_m) : m_system(route.grid), m_local(middle_of(route)) {
    choose(route, m_local.origin());
    geo::Metres2 low{1e9, 1e9}, high{-1e9, -1e9};
    each_position(route, [&](geo::Position p) {
        const geo::Metres2 at = metres(p);
        low = {std::min(low.x_m, at.x_m), std::min(low.y_m, at.y_m)};
        high = {std::max(high.x_m, at.x_m), std::max(high.y_m, at.y_m)};
    });
    if (low.x_m > high.x_m) low = high = {};
    low = low - geo::Metres2{reach_m, reach_m};
    high = high + geo::Metres2{reach_m, reach_m};
    m_east_m = std::floor(low.x_m / 1000) * 1000;
    m_north_m = std::ceil(high.y_m / 1000) * 1000;
    m_frame = {whole(low.x_m - m_east_m), whole(m_north_m - high.y_m), whole(high.x_m - low.x_m),
               whole(high.y_m - low.y_m)};
}

/// A grid can be drawn where every place on it is in the same area, and neighbours stay neighbours.
void MapPlane::choose(const Assessed& route, geo::Position middle) {
    const geo::GridPosition centre = geo::grid_position(middle, m_system);
    m_gridded = centre.in_area;
    each_position(route, [&](geo::Position p) {
        if (!m_gridded) return;
        const geo::GridPosition on_grid = geo::grid_position(p, m_system);
        const double east_m = on_grid.easting_m - centre.easting_m;
        const double north_m = on_grid.northing_m - centre.northing_m;
        const double true_m = geo::distance_m(p, middle);
        m_gridded = on_grid.in_area && std::abs(std::hypot(east_m, north_m) - true_m) <= 50 + 0.01 * true_m;
    });
    m_north_deg = m_gridded ? -centre.convergence_deg : 0;
}

geo::Metres2 MapPlane::metres(geo::Position p) const {
    if (!m_gridded) return m_local.to_plane(p);
    const geo::GridPosition at = geo::grid_position(p, m_system);
    return {at.easting_m, at.northing_m};
}

PlanePoint MapPlane::at(geo::Position p) const {
    const geo::Metres2 m = metres(p);
    if (!std::isfinite(m.x_m) || !std::isfinite(m.y_m)) return {};
    return {whole(m.x_m - m_east_m), whole(m_north_m - m.y_m)};
}

} // namespace waywarden::report
