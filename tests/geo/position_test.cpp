#include "geo/position.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

using namespace waywarden;
using geo::Position;

namespace {

constexpr double k_minute = 1.0 / 60, k_second = 1.0 / 3600;

Position at(double lat_deg, double lon_deg) {
    return {lon_deg, lat_deg};
}

/// Repeatable numbers in [0, 1).
struct Numbers {
    unsigned state = 2024;
    double operator()() { return (state = state * 1664525u + 1013904223u) / 4294967296.0; }
};

} // namespace

TEST_CASE("geodesics: rows of the GeodTest set") {
    struct Row {
        double lat1, azimuth1, lat2, lon2, length_m;
    };
    // Source: Karney, Test set for geodesics (Zenodo 32156), WGS 84; the first point is at longitude 0.
    for (const Row& row :
         {Row{36.530042355041, 176.125875162171, -48.164270779097768864, 5.762344694676510456,
              9398502.0434687},
          {8.226828747671, 111.1269645725, -8.516119211674269, 178.688979582629, 19886305.6710041},
          {19.707097385334, 20.996796804557, 19.7077395828103, 0.000260256428101, 76.1478894},
          {89.997817345644, 2.624783190362, 39.5754463572854, 177.375133897726, 5619818.6599569},
          {63.758775485865, 63.327049113388, 25.179740339437206, 107.50499193289191, 8337896.7811702},
          {23.104245923137, 108.788775202534, 23.103520430280492, 0.002305237470119, 249.4508219},
          {78.10174623178, 124.870465352256, 78.099711031638792, 0.014156770744058, 397.364659}}) {
        CAPTURE(row.lat1);
        const Position a = at(row.lat1, 0), b = at(row.lat2, row.lon2);
        CHECK(std::abs(geo::distance_m(a, b) - row.length_m) < 1e-6);
        CHECK(std::abs(geo::distance_m(b, a) - row.length_m) < 1e-6);
        // positions are given to 1e-15 degrees, which over 76 m turns the azimuth by some 1e-11
        CHECK(std::abs(geo::azimuth_deg(a, b) - row.azimuth1) < 1e-8);
    }
}

TEST_CASE("geodesics: worked examples") {
    // Source: Geoscience Australia, Flinders Peak to Buninyong: 54972.271 m, 306 52 05.37 and back 127
    // 10 25.07.
    const Position flinders =
        at(-(37 + 57 * k_minute + 3.72030 * k_second), 144 + 25 * k_minute + 29.52440 * k_second);
    const Position buninyong =
        at(-(37 + 39 * k_minute + 10.15610 * k_second), 143 + 55 * k_minute + 35.38390 * k_second);
    CHECK(std::abs(geo::distance_m(flinders, buninyong) - 54972.271) < 0.0005);
    CHECK(std::abs(geo::azimuth_deg(flinders, buninyong) - (306 + 52 * k_minute + 5.37 * k_second)) <
          0.005 * k_second);
    CHECK(std::abs(geo::azimuth_deg(buninyong, flinders) - (127 + 10 * k_minute + 25.07 * k_second)) <
          0.005 * k_second);
    // Source: manual of GeographicLib's GeodSolve program.
    const Position west = at(40 + 38 * k_minute + 23 * k_second, -(73 + 46 * k_minute + 44 * k_second));
    const Position east = at(1 + 21 * k_minute + 33 * k_second, 103 + 59 * k_minute + 22 * k_second);
    CHECK(std::abs(geo::distance_m(west, east) - 15347628) < 0.5);
    CHECK(std::abs(geo::azimuth_deg(west, east) - (3 + 18 * k_minute + 29.9 * k_second)) < 0.05 * k_second);
    // Source: test suites of geodesy libraries, the ends of Britain.
    const Position south_west = at(50.06632, -5.71475), north_east = at(58.64402, -3.07009);
    CHECK(std::abs(geo::distance_m(south_west, north_east) - 969954.166) < 0.0005);
    CHECK(std::abs(geo::azimuth_deg(south_west, north_east) - 9.1419) < 0.00005);
}

TEST_CASE("geodesics: over 180 degrees, antipodes, nothing at all") {
    // Source: GeographicLib's documentation: a quarter of the equator's 4 degrees; half a meridian.
    CHECK(std::abs(geo::distance_m(at(0, 179), at(0, -179)) - 222638.9815865471) < 1e-6);
    CHECK(std::abs(geo::azimuth_deg(at(0, 179), at(0, -179)) - 90) < 1e-12);
    CHECK(std::abs(geo::azimuth_deg(at(0, -179), at(0, 179)) - 270) < 1e-12);
    CHECK(std::abs(geo::distance_m(at(0, 0), at(0, 180)) - 20003931.458625447) < 1e-6);
    CHECK(geo::distance_m(at(52, 0), at(52, 0)) == 0);
}

TEST_CASE("the local plane keeps its error statement (property)") {
    Numbers next;
    for (int i = 0; i < 3000; ++i) {
        const Position origin = at(-75 + 150 * next(), -180 + 360 * next());
        const geo::LocalFrame frame(origin);
        const geo::Metres2 there{(next() - 0.5) * 10000, (next() - 0.5) * 10000};
        const Position p = frame.to_position(there);
        const geo::Metres2 again = frame.to_plane(p);
        CHECK(geo::length_m(again - there) < 1e-6);
        const double length_m = geo::length_m(there);
        const double true_m = geo::distance_m(origin, p);
        const double tan_lat = std::tan(std::abs(origin.lat_deg) * std::acos(-1.0) / 180);
        // stated: tan(latitude) * d / 6371 km of the easting; the distance from the origin feels half of it
        // or less, and second-order terms of (d / 6371 km)^2
        const double share = (tan_lat + 0.01) * std::abs(there.y_m) / 6371e3;
        CAPTURE(origin.lat_deg);
        CAPTURE(there.x_m);
        CAPTURE(there.y_m);
        CHECK(std::abs(true_m - length_m) <
              std::abs(there.x_m) * share + length_m * 2e-6 * (1 + tan_lat * tan_lat) + 1e-4);
    }
}

TEST_CASE("at 5 km in Britain the plane is good to 0.1 % and no better than it says") {
    for (const double lat_deg : {50.0, 55.0, 60.0}) {
        const geo::LocalFrame frame(at(lat_deg, -2));
        const Position p = frame.to_position({0, 5000}), q = frame.to_position({1000, 5000});
        const double off = std::abs(geo::distance_m(p, q) - 1000) / 1000;
        CHECK(off ==
              doctest::Approx(std::tan(lat_deg * std::acos(-1.0) / 180) * 5000 / 6371e3).epsilon(0.02));
        CHECK(off < 0.0015);
    }
}

TEST_CASE("the local plane goes the short way round at 180 degrees") {
    const geo::LocalFrame frame(at(-17, 179.999));
    const geo::Metres2 m = frame.to_plane(at(-17, -179.999));
    CHECK(m.x_m == doctest::Approx(geo::distance_m(at(-17, 179.999), at(-17, -179.999))).epsilon(1e-6));
    CHECK(std::abs(frame.to_position(m).lon_deg + 179.999) < 1e-9);
}

TEST_CASE("nearest place on a segment") {
    const auto before = geo::nearest_on_segment({-3, 4}, {0, 0}, {10, 0});
    CHECK(before.fraction == 0);
    CHECK(before.distance_m == 5);
    const auto beside = geo::nearest_on_segment({4, -2}, {0, 0}, {10, 0});
    CHECK(beside.fraction == doctest::Approx(0.4));
    CHECK(beside.distance_m == 2);
    const auto point = geo::nearest_on_segment({3, 4}, {0, 0}, {0, 0});
    CHECK(point.fraction == 0);
    CHECK(point.distance_m == 5);
    CHECK(geo::cross({1, 0}, {0, 1}) > 0);
}
