#include "geo/grid_projection.hpp"

#include "error.hpp"

#include <GeographicLib/Geocentric.hpp>
#include <GeographicLib/TransverseMercator.hpp>
#include <GeographicLib/UTMUPS.hpp>
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <limits>
#include <numbers>

namespace waywarden::geo {

namespace {

using Vector = std::array<double, 3>;

/// A seven-parameter shift to WGS 84 as EPSG method 1033 (position vector) has it; IOGP Guidance Note 7-2.
struct Shift {
    Vector metres, arc_seconds;
    double parts_per_million;
};

struct Ellipsoid {
    double a_m, inverse_flattening;
};

struct Mercator {
    double lat_deg, lon_deg, scale, false_east_m, false_north_m;
};

// From the EPSG data set, as `projinfo` prints it. The shift is always applied, also far from the grid's own
// area.
constexpr Ellipsoid k_wgs84{6378137, 298.257223563};
constexpr Ellipsoid k_airy{6377563.396, 299.3249646};                                          // EPSG:7001
constexpr Ellipsoid k_modified_airy{6377340.189, 299.3249646};                                 // EPSG:7002
constexpr Shift k_osgb36_to_wgs84{{446.448, -125.157, 542.06}, {0.15, 0.247, 0.842}, -20.489}; // EPSG:1314
constexpr Shift k_tm75_to_wgs84{{482.5, -130.6, 564.6}, {-1.042, -0.214, -0.631}, 8.15};       // EPSG:1954
constexpr Mercator k_british{49, -2, 0.9996012717, 400000, -100000};                           // EPSG:27700
constexpr Mercator k_irish{53.5, -8, 1.000035, 200000, 250000};                                // EPSG:29903

constexpr double k_radians_per_arc_second = std::numbers::pi / (180 * 3600);
/// East or west of the middle. The projection runs off to infinity a quarter of the globe away.
constexpr double k_farthest_m = 16.7e6;

GeographicLib::Geocentric solid(const Ellipsoid& e) {
    return {e.a_m, 1 / e.inverse_flattening};
}

/// One grid: WGS 84 to the grid's own datum, then the projection. Heights are not carried over.
class Grid {
  public:
    Grid(const Shift& shift, const Ellipsoid& ellipsoid, const Mercator& mercator)
        : m_shift(shift), m_mercator(mercator), m_own(solid(ellipsoid)), m_wgs84(solid(k_wgs84)),
          m_projection(ellipsoid.a_m, 1 / ellipsoid.inverse_flattening, mercator.scale) {
        double east_m = 0;
        m_projection.Forward(mercator.lon_deg, mercator.lat_deg, mercator.lon_deg, east_m, m_origin_north_m);
    }

    Position to_own_datum(Position wgs84) const {
        Vector v = solid_place(m_wgs84, wgs84);
        for (std::size_t i = 0; i < 3; ++i)
            v[i] = (v[i] - m_shift.metres[i]) / scale();
        return flat_place(m_own, turned(v, -1));
    }

    Position to_wgs84(Position own) const {
        Vector v = turned(solid_place(m_own, own), 1);
        for (std::size_t i = 0; i < 3; ++i)
            v[i] = scale() * v[i] + m_shift.metres[i];
        return flat_place(m_wgs84, v);
    }

    GridPosition project(Position own) const {
        constexpr double k_nowhere = std::numeric_limits<double>::infinity();
        double x_m = 0, y_m = 0, convergence_deg = 0, scale_there = 0;
        m_projection.Forward(m_mercator.lon_deg, own.lat_deg, own.lon_deg, x_m, y_m, convergence_deg,
                             scale_there);
        if (!std::isfinite(y_m) || !(std::abs(x_m) < k_farthest_m)) return {k_nowhere, k_nowhere, 0, false};
        return {x_m + m_mercator.false_east_m, y_m - m_origin_north_m + m_mercator.false_north_m,
                convergence_deg, true};
    }

    Position unproject(double easting_m, double northing_m) const {
        Position out;
        m_projection.Reverse(m_mercator.lon_deg, easting_m - m_mercator.false_east_m,
                             northing_m - m_mercator.false_north_m + m_origin_north_m, out.lat_deg,
                             out.lon_deg);
        return out;
    }

  private:
    double scale() const { return 1 + m_shift.parts_per_million * 1e-6; }
    /// The rotation of the shift for small angles; its transpose, which the data set takes as the inverse,
    /// for `sense` -1.
    Vector turned(const Vector& v, int sense) const {
        const auto angle = [&](std::size_t i) {
            return sense * m_shift.arc_seconds[i] * k_radians_per_arc_second;
        };
        const double rx = angle(0), ry = angle(1), rz = angle(2);
        return {v[0] - rz * v[1] + ry * v[2], rz * v[0] + v[1] - rx * v[2], -ry * v[0] + rx * v[1] + v[2]};
    }
    static Vector solid_place(const GeographicLib::Geocentric& earth, Position p) {
        Vector v{};
        earth.Forward(p.lat_deg, p.lon_deg, 0, v[0], v[1], v[2]);
        return v;
    }
    static Position flat_place(const GeographicLib::Geocentric& earth, const Vector& v) {
        Position out;
        double height_m = 0;
        earth.Reverse(v[0], v[1], v[2], out.lat_deg, out.lon_deg, height_m);
        return out;
    }

    Shift m_shift;
    Mercator m_mercator;
    GeographicLib::Geocentric m_own, m_wgs84;
    GeographicLib::TransverseMercator m_projection;
    double m_origin_north_m = 0;
};

const Grid& grid_of(GridSystem system) {
    static const Grid british(k_osgb36_to_wgs84, k_airy, k_british);
    static const Grid irish(k_tm75_to_wgs84, k_modified_airy, k_irish);
    return system == GridSystem::irish ? irish : british;
}

GridPosition utm_position(Position p) {
    int zone = 0;
    bool northern = false;
    double convergence_deg = 0, scale = 0;
    GridPosition out;
    GeographicLib::UTMUPS::Forward(p.lat_deg, p.lon_deg, zone, northern, out.easting_m, out.northing_m,
                                   convergence_deg, scale);
    out.convergence_deg = convergence_deg;
    return out;
}

} // namespace

bool has_letters(double easting_m, double northing_m, GridSystem system) {
    const double east_m = system == GridSystem::british ? 700e3 : 500e3;
    const double north_m = system == GridSystem::british ? 1300e3 : 500e3;
    return easting_m >= 0 && northing_m >= 0 && easting_m < east_m && northing_m < north_m;
}

GridPosition grid_position(Position p, GridSystem system) {
    if (!(p.lat_deg >= -90 && p.lat_deg <= 90 && p.lon_deg >= -360 && p.lon_deg <= 360))
        throw InternalError(fmt::format("a grid position was asked for {} N {} E, which is off the globe",
                                        p.lat_deg, p.lon_deg));
    if (system == GridSystem::utm) return utm_position(p);
    const Grid& grid = grid_of(system);
    GridPosition out = grid.project(grid.to_own_datum(p));
    out.in_area = out.in_area && has_letters(out.easting_m, out.northing_m, system);
    return out;
}

Position position_on_grid(double easting_m, double northing_m, GridSystem system) {
    if (system == GridSystem::utm) throw InternalError("metres on UTM need a zone");
    const Grid& grid = grid_of(system);
    // The shift drops the height it makes, so running it backwards is a millimetre off; two corrections make
    // the way there and back agree to a micrometre.
    double east_m = easting_m, north_m = northing_m;
    Position out;
    for (int round = 0; round < 3; ++round) {
        out = grid.to_wgs84(grid.unproject(east_m, north_m));
        const GridPosition there = grid.project(grid.to_own_datum(out));
        east_m += easting_m - there.easting_m;
        north_m += northing_m - there.northing_m;
    }
    return out;
}

GridPosition british_grid_of_osgb36(Position osgb36) {
    return grid_of(GridSystem::british).project(osgb36);
}

Position osgb36_of_british_grid(double easting_m, double northing_m) {
    return grid_of(GridSystem::british).unproject(easting_m, northing_m);
}

} // namespace waywarden::geo
