#include "geo/grid_projection.hpp"

#include "error.hpp"

#include <GeographicLib/UTMUPS.hpp>
#include <fmt/format.h>
#include <proj.h>

#include <cmath>
#include <limits>
#include <memory>
#include <numbers>

namespace waywarden::geo {

namespace {

constexpr double k_radians_per_deg = std::numbers::pi / 180;

// As `projinfo urn:ogc:def:coordinateOperation:EPSG::1314` and `projinfo EPSG:27700` give them, written out
// so that neither PROJ's database nor its choice of operation plays a part: outside Britain that choice is
// silently no datum shift at all, 115 m off at 49 N 4 W.
constexpr const char* k_airy = "+ellps=airy";
constexpr const char* k_british_shift =
    "+step +proj=push +v_3 +step +proj=cart +ellps=WGS84 "
    "+step +inv +proj=helmert +x=446.448 +y=-125.157 +z=542.06 +rx=0.15 +ry=0.247 +rz=0.842 +s=-20.489 "
    "+convention=position_vector +step +inv +proj=cart +ellps=airy +step +proj=pop +v_3 ";
constexpr const char* k_british_projection =
    "+proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 ";
// As `projinfo -s EPSG:4326 -t EPSG:29903` gives it: "Inverse of TM75 to WGS 84 (2) + Irish Grid".
constexpr const char* k_modified_airy = "+a=6377340.189 +rf=299.3249646";
constexpr const char* k_irish_shift =
    "+step +proj=push +v_3 +step +proj=cart +ellps=WGS84 "
    "+step +inv +proj=helmert +x=482.5 +y=-130.6 +z=564.6 +rx=-1.042 +ry=-0.214 +rz=-0.631 +s=8.15 "
    "+convention=position_vector +step +inv +proj=cart +a=6377340.189 +rf=299.3249646 +step +proj=pop +v_3 ";
constexpr const char* k_irish_projection =
    "+proj=tmerc +lat_0=53.5 +lon_0=-8 +k=1.000035 +x_0=200000 +y_0=250000 ";

/// A PROJ operation with a context of its own.
class Operation {
  public:
    explicit Operation(const std::string& definition)
        : m_context(proj_context_create(), proj_context_destroy),
          m_operation(create(m_context.get(), definition.c_str()), proj_destroy) {
        if (!m_operation) throw InternalError("PROJ refuses the operation " + definition);
    }
    /// Radians to metres and back; infinite where there is no answer.
    PJ_COORD forward(PJ_COORD c) const { return proj_trans(m_operation.get(), PJ_FWD, c); }
    PJ_COORD backward(PJ_COORD c) const { return proj_trans(m_operation.get(), PJ_INV, c); }
    /// Convergence where the operation is a bare projection, radians.
    double convergence(PJ_COORD c) const { return proj_factors(m_operation.get(), c).meridian_convergence; }

  private:
    /// Quietly: PROJ looks for its database here although none is needed, and would write to standard error.
    static PJ* create(PJ_CONTEXT* context, const char* definition) {
        proj_log_level(context, PJ_LOG_NONE);
        return proj_create(context, definition);
    }
    std::unique_ptr<PJ_CONTEXT, decltype(&proj_context_destroy)> m_context;
    std::unique_ptr<PJ, decltype(&proj_destroy)> m_operation;
};

/// One grid: WGS 84 to the grid's own datum, then the projection.
struct Grid {
    Operation shift, projection;
    Grid(const std::string& shift_steps, const std::string& projection_text, const std::string& ellipsoid)
        : shift("+proj=pipeline " + shift_steps), projection(projection_text + ellipsoid) {}
};

/// PROJ objects must not be shared between threads, so each thread has its own.
const Grid& grid_of(GridSystem system) {
    if (system == GridSystem::irish) {
        thread_local const Grid irish(k_irish_shift, k_irish_projection, k_modified_airy);
        return irish;
    }
    thread_local const Grid british(k_british_shift, k_british_projection, k_airy);
    return british;
}

PJ_COORD radians(Position p) {
    return proj_coord(p.lon_deg * k_radians_per_deg, p.lat_deg * k_radians_per_deg, 0, 0);
}

Position degrees(PJ_COORD c) {
    return {c.lp.lam / k_radians_per_deg, c.lp.phi / k_radians_per_deg};
}

GridPosition project(const Grid& grid, PJ_COORD own_datum) {
    const PJ_COORD metres = grid.projection.forward(own_datum);
    GridPosition out{metres.xy.x, metres.xy.y, 0, std::isfinite(metres.xy.x) && std::isfinite(metres.xy.y)};
    if (out.in_area) {
        out.convergence_deg = grid.projection.convergence(own_datum) / k_radians_per_deg;
    } else {
        out.easting_m = out.northing_m = std::numeric_limits<double>::infinity();
    }
    return out;
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
    GridPosition out = project(grid, grid.shift.forward(radians(p)));
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
        out = degrees(grid.shift.backward(grid.projection.backward(proj_coord(east_m, north_m, 0, 0))));
        const GridPosition there = project(grid, grid.shift.forward(radians(out)));
        east_m += easting_m - there.easting_m;
        north_m += northing_m - there.northing_m;
    }
    return out;
}

GridPosition british_grid_of_osgb36(Position osgb36) {
    return project(grid_of(GridSystem::british), radians(osgb36));
}

Position osgb36_of_british_grid(double easting_m, double northing_m) {
    return degrees(grid_of(GridSystem::british).projection.backward(proj_coord(easting_m, northing_m, 0, 0)));
}

} // namespace waywarden::geo
