#include "geo/magnetic.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <sstream>

using namespace waywarden::geo;
using namespace std::chrono;

namespace {

double declination_deg(const MagneticField& field) {
    return std::atan2(field.east_nt, field.north_nt) * 180 / std::numbers::pi;
}

double gap(double a, double b) {
    return std::abs(std::remainder(a - b, 360));
}

} // namespace

// Source: NOAA NCEI, WMM2025 test values, the table of twelve rows in the model's technical report.
TEST_CASE("the field is that of the published table of the World Magnetic Model 2025") {
    struct Row {
        double year, height_km, lat, lon, north, east, down, declination;
    };
    const Row rows[] = {
        {2025.0, 0, 80, 0, 6521.6, 145.9, 54791.5, 1.28},
        {2025.0, 0, 0, 120, 39677.8, -109.6, -10580.2, -0.16},
        {2025.0, 0, -80, 240, 6117.5, 15751.9, -52022.5, 68.78},
        {2025.0, 100, 80, 0, 6216.0, 92.4, 52598.8, 0.85},
        {2025.0, 100, 0, 120, 37688.6, -96.2, -10152.1, -0.15},
        {2025.0, 100, -80, 240, 5907.6, 14780.3, -49540.7, 68.21},
        {2027.5, 0, 80, 0, 6500.8, 294.5, 54869.4, 2.59},
        {2027.5, 0, 0, 120, 39701.6, -167.4, -10381.8, -0.24},
        {2027.5, 0, -80, 240, 6200.7, 15730.3, -51783.7, 68.49},
        {2027.5, 100, 80, 0, 6196.7, 233.8, 52670.5, 2.16},
        {2027.5, 100, 0, 120, 37711.5, -148.7, -9969.8, -0.23},
        {2027.5, 100, -80, 240, 5984.0, 14760.1, -49317.7, 67.93},
    };
    for (const Row& row : rows) {
        CAPTURE(row.year);
        CAPTURE(row.height_km);
        CAPTURE(row.lat);
        const auto field = magnetic_field({row.lon, row.lat}, row.height_km * 1000, row.year);
        REQUIRE(field);
        // Half of the last digit printed, and a grain for rounding.
        CHECK(std::abs(field->north_nt - row.north) < 0.0501);
        CHECK(std::abs(field->east_nt - row.east) < 0.0501);
        CHECK(std::abs(field->down_nt - row.down) < 0.0501);
        CHECK(gap(declination_deg(*field), row.declination) < 0.00501);
    }
}

// Source: OS, "Transformations and OSGM15" worked example point (Caister water tower), convergence by
// GeographicLib's transverse Mercator on the Airy ellipsoid: 2.957376687 degrees.
TEST_CASE("the grid turns from true north as far as it should at Caister") {
    // 52 39 27.2531 N, 1 43 4.5177 E on OSGB36 is this on WGS 84, to a few metres.
    const GridPosition grid = grid_position({1.716073973, 52.658007833}, GridSystem::british);
    CHECK(std::abs(grid.convergence_deg - 2.957376687) < 0.0001);
}

// Source: the statements printed on two sheets of the Ordnance Survey, both for July 2014: Penzance, magnetic
// north 0 degrees 00' from grid north, moving 11' east a year; Norwich and the Broads, 3 degrees 18' west,
// moving 10' east a year. Carried on 11.5 years; the rate is rounded to 1', which is 0.1 degrees by 2026.
TEST_CASE("the grid magnetic angle is what printed sheets foretell, of either sign") {
    const auto west = grid_magnetic_angle_deg({-5.537, 50.118}, GridSystem::british, 2026y / 1 / 1);
    const auto east = grid_magnetic_angle_deg({1.751, 52.475}, GridSystem::british, 2026y / 1 / 1);
    REQUIRE(west);
    REQUIRE(east);
    CHECK(std::abs(*west - 11.5 * 11 / 60) < 0.1);
    CHECK(std::abs(*east - (-3.3 + 11.5 * 10 / 60)) < 0.1);
}

// Source: a synthesis of the same model in Python from its definition, and GeographicLib's convergence.
TEST_CASE("declination and grid magnetic angle agree with an independent computation") {
    struct Row {
        const char* name;
        Position place;
        double convergence, declination_2025, declination_2026, declination_2027, angle_2026;
    };
    const Row rows[] = {
        {"Land's End", {-5.71475, 50.06632}, -2.849, -0.86, -0.67, -0.49, 2.18},
        {"Yr Wyddfa", {-4.076231, 53.068497}, -1.659, -0.64, -0.45, -0.26, 1.21},
        {"Ben Nevis", {-5.003508, 56.796849}, -2.513, -1.54, -1.33, -1.11, 1.19},
        {"Scafell Pike", {-3.211667, 54.454167}, -0.985, -0.49, -0.29, -0.10, 0.69},
        {"Greenwich", {-0.001475, 51.477811}, 1.565, 0.95, 1.12, 1.29, -0.44},
        {"Lerwick", {-1.145, 60.155}, 0.743, -0.33, -0.11, 0.11, -0.86},
    };
    for (const Row& row : rows) {
        CAPTURE(row.name);
        CHECK(std::abs(grid_position(row.place, GridSystem::british).convergence_deg - row.convergence) <
              0.0021);
        CHECK(std::abs(*magnetic_declination_deg(row.place, 2025y / 1 / 1) - row.declination_2025) < 0.0051);
        CHECK(std::abs(*magnetic_declination_deg(row.place, 2026y / 1 / 1) - row.declination_2026) < 0.0051);
        CHECK(std::abs(*magnetic_declination_deg(row.place, 2027y / 1 / 1) - row.declination_2027) < 0.0051);
        CHECK(std::abs(*grid_magnetic_angle_deg(row.place, GridSystem::british, 2026y / 1 / 1) -
                       row.angle_2026) < 0.0101);
    }
}

TEST_CASE("outside its years, and where a needle has no direction, the model says nothing") {
    const Position place{2.2, 56.2};
    CHECK(!magnetic_declination_deg(place, 2024y / 12 / 31));
    CHECK(magnetic_declination_deg(place, 2025y / 1 / 1));
    CHECK(magnetic_declination_deg(place, 2029y / 12 / 31));
    CHECK(!magnetic_declination_deg(place, 2030y / 1 / 2));
    CHECK(!magnetic_declination_deg(place, 2027y / 2 / 30));
    CHECK(!grid_magnetic_angle_deg(place, GridSystem::utm, 2031y / 1 / 1));
    CHECK(!magnetic_field({2.2, 96}, 0, 2026));
    // The north magnetic pole of the model lies near 85.8 N 139.3 E in 2025 (NOAA NCEI, "Wandering of the
    // geomagnetic poles"; from memory).
    CHECK(!magnetic_declination_deg({139.3, 85.8}, 2025y / 1 / 1));
    CHECK(magnetic_model_words(2027y / 5 / 15) == "World Magnetic Model 2025, for 2027-05-15");
    CHECK(magnetic_model_words(2031y / 5 / 15) == "No magnetic bearings: the World Magnetic Model 2025 holds "
                                                  "from 2025 to the end of 2029 only, and the "
                                                  "date is outside it.");
}

TEST_CASE("a date is a decimal year by the days of its year") {
    CHECK(decimal_year(2025y / 1 / 1) == 2025);
    CHECK(decimal_year(2025y / 7 / 1) == doctest::Approx(2025 + 181.0 / 365));
    CHECK(decimal_year(2028y / 12 / 31) == doctest::Approx(2028 + 365.0 / 366));
}

TEST_SUITE("real") {
    // Source: NOAA NCEI, WMM2025_TEST_VALUES.txt, 100 rows of 18 fields.
    TEST_CASE("the hundred published test values of the World Magnetic Model 2025") {
        const std::string path = WAYWARDEN_SHARED_DATA "/reference/WMM2025_TEST_VALUES.txt";
        if (!std::filesystem::exists(path)) {
            MESSAGE("skipped: no " << path);
            return;
        }
        std::ifstream file(path);
        std::string line;
        int rows = 0;
        while (std::getline(file, line)) {
            if (line.empty() || line[0] == '#') continue;
            std::istringstream in(line);
            double year = 0, height_km = 0, lat = 0, lon = 0, d = 0, i = 0, h = 0, x = 0, y = 0, z = 0;
            in >> year >> height_km >> lat >> lon >> d >> i >> h >> x >> y >> z;
            REQUIRE(in);
            CAPTURE(line);
            const auto field = magnetic_field({lon, lat}, height_km * 1000, year);
            REQUIRE(field);
            CHECK(std::abs(field->north_nt - x) < 0.001);
            CHECK(std::abs(field->east_nt - y) < 0.001);
            CHECK(std::abs(field->down_nt - z) < 0.001);
            CHECK(gap(declination_deg(*field), d) < 0.00501);
            ++rows;
        }
        CHECK(rows == 100);
    }
}
