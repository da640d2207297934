#include "geo/grid_projection.hpp"

#include <doctest/doctest.h>
#include <geodesic.h>
#include <proj.h>

#include <cmath>
#include <memory>
#include <numbers>
#include <random>

// The grids stand beside those of PROJ, which shares no code with GeographicLib there; its geodesic is a
// translation by the same author. PROJ's definitions of the grids are those that `projinfo
// urn:ogc:def:coordinateOperation:EPSG::1314`, `… EPSG::1954`, `EPSG:27700` and `EPSG:29903` print.

using namespace waywarden;
using geo::GridSystem;
using geo::Position;

namespace {

constexpr double k_radians_per_deg = std::numbers::pi / 180;

/// A PROJ operation.
class Reference {
  public:
    explicit Reference(const char* definition)
        : m_context(proj_context_create(), proj_context_destroy),
          m_operation(proj_create(m_context.get(), definition), proj_destroy) {
        REQUIRE(m_operation);
    }
    PJ_COORD forward(Position p) const {
        return proj_trans(m_operation.get(), PJ_FWD,
                          proj_coord(p.lon_deg * k_radians_per_deg, p.lat_deg * k_radians_per_deg, 0, 0));
    }
    /// Convergence, where the operation is a projection alone.
    double convergence_deg(PJ_COORD own_datum) const {
        return proj_factors(m_operation.get(), own_datum).meridian_convergence / k_radians_per_deg;
    }

  private:
    std::unique_ptr<PJ_CONTEXT, decltype(&proj_context_destroy)> m_context;
    std::unique_ptr<PJ, decltype(&proj_destroy)> m_operation;
};

struct Beside {
    GridSystem system;
    const char *shift, *projection;
    double west_deg, south_deg, east_deg, north_deg;
};

// About the land that each grid is for.
const Beside k_grids[] = {
    {GridSystem::british,
     "+proj=pipeline +step +proj=cart +ellps=WGS84 +step +inv +proj=helmert +x=446.448 +y=-125.157 "
     "+z=542.06 +rx=0.15 +ry=0.247 +rz=0.842 +s=-20.489 +convention=position_vector "
     "+step +inv +proj=cart +ellps=airy",
     "+proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 +ellps=airy", -9, 49, 3, 61},
    {GridSystem::irish,
     "+proj=pipeline +step +proj=cart +ellps=WGS84 +step +inv +proj=helmert +x=482.5 +y=-130.6 +z=564.6 "
     "+rx=-1.042 +ry=-0.214 +rz=-0.631 +s=8.15 +convention=position_vector "
     "+step +inv +proj=cart +a=6377340.189 +rf=299.3249646",
     "+proj=tmerc +lat_0=53.5 +lon_0=-8 +k=1.000035 +x_0=200000 +y_0=250000 +a=6377340.189 +rf=299.3249646",
     -11, 51, -5, 56},
};

} // namespace

TEST_CASE("ten thousand places on the British and Irish grids, to a micrometre of PROJ's") {
    std::mt19937 rng(27700);
    for (const Beside& grid : k_grids) {
        const Reference shift(grid.shift), projection(grid.projection);
        std::uniform_real_distribution<double> lon(grid.west_deg, grid.east_deg),
            lat(grid.south_deg, grid.north_deg);
        double worst_m = 0, worst_deg = 0, worst_back_deg = 0;
        for (int i = 0; i < 10000; ++i) {
            const Position p{lon(rng), lat(rng)};
            PJ_COORD own = shift.forward(p);
            own.lpz.z = 0;
            const PJ_COORD metres =
                projection.forward({own.lp.lam / k_radians_per_deg, own.lp.phi / k_radians_per_deg});
            const geo::GridPosition got = geo::grid_position(p, grid.system);
            worst_m =
                std::max(worst_m, std::hypot(got.easting_m - metres.xy.x, got.northing_m - metres.xy.y));
            worst_deg = std::max(worst_deg, std::abs(got.convergence_deg - projection.convergence_deg(own)));
            const Position back = geo::position_on_grid(got.easting_m, got.northing_m, grid.system);
            worst_back_deg =
                std::max(worst_back_deg, std::hypot(back.lon_deg - p.lon_deg, back.lat_deg - p.lat_deg));
        }
        CHECK(worst_m < 1e-6);
        // PROJ takes convergence from differences over 1e-5 radians.
        CHECK(worst_deg < 1e-6);
        CHECK(worst_back_deg < 1e-10);
    }
}

TEST_CASE("wherever on the globe a grid is asked for, its letters are where PROJ's metres lie") {
    std::mt19937 rng(29903);
    std::uniform_real_distribution<double> lon(-180, 180), lat(-90, 90);
    for (const Beside& grid : k_grids) {
        const Reference shift(grid.shift), projection(grid.projection);
        for (int i = 0; i < 20000; ++i) {
            const Position p{lon(rng), lat(rng)};
            PJ_COORD own = shift.forward(p);
            const PJ_COORD metres =
                projection.forward({own.lp.lam / k_radians_per_deg, own.lp.phi / k_radians_per_deg});
            const bool lettered =
                std::isfinite(metres.xy.x) && geo::has_letters(metres.xy.x, metres.xy.y, grid.system);
            CAPTURE(p.lon_deg);
            CAPTURE(p.lat_deg);
            CHECK(geo::grid_position(p, grid.system).in_area == lettered);
        }
    }
    // The point the projection cannot show: on the equator, a quarter of the globe from the middle.
    const auto nowhere = geo::british_grid_of_osgb36({88, 0});
    CHECK_FALSE(nowhere.in_area);
    CHECK(std::isinf(nowhere.easting_m));
}

TEST_CASE("geodesic length and azimuth are PROJ's, near and far") {
    geod_geodesic wgs84;
    geod_init(&wgs84, 6378137, 1 / 298.257223563);
    std::mt19937 rng(1);
    std::uniform_real_distribution<double> lon(-180, 180), lat(-85, 85), near(-0.01, 0.01);
    for (int i = 0; i < 10000; ++i) {
        const Position a{lon(rng), lat(rng)};
        const Position b =
            i % 2 ? Position{lon(rng), lat(rng)} : Position{a.lon_deg + near(rng), a.lat_deg + near(rng)};
        double metres = 0, azimuth = 0;
        geod_inverse(&wgs84, a.lat_deg, a.lon_deg, b.lat_deg, b.lon_deg, &metres, &azimuth, nullptr);
        CHECK(std::abs(geo::distance_m(a, b) - metres) < 1e-7);
        CHECK(std::abs(std::remainder(geo::azimuth_deg(a, b) - azimuth, 360)) < 1e-7);
    }
}
