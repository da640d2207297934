#include "survey/contour_picture.hpp"

#include <doctest/doctest.h>

#include <cmath>

namespace {

using namespace waywarden;

/// East along the parallel of 56.2 N, 4 km, a point every 500 m.
route::Route walk(double length_m = 4000) {
    const geo::LocalFrame frame({2.2, 56.2});
    route::Route out;
    for (double at_m = 0; at_m <= length_m; at_m += 500)
        out.segments.resize(1), out.segments[0].points.push_back({frame.to_position({at_m, 0}), {}, 0});
    return out;
}

survey::MapPicture picture_of(const route::Route& route, const survey::HeightAt& height_m,
                              std::size_t most_points = 20'000) {
    survey::MapPicture out;
    out.reach_m = 400;
    out.detail_m = 2;
    survey::add_contours(route, height_m, out, most_points);
    return out;
}

/// A cone over the middle of the walk, 1 in 5, 300 m high.
double cone_m(geo::Position p) {
    const geo::LocalFrame frame({2.2, 56.2});
    return 300 - geo::length_m(frame.to_plane(p) - geo::Metres2{2000, 100}) / 5;
}

} // namespace

// Elementary geometry: the contour at h of the cone is the circle of radius 5 (300 - h) round its summit.
// Heights are taken every 20 m (at most 0.1 m off where r > 500 m, see contours_test.cpp), the line is
// simplified to 2 m.
TEST_CASE("contours of the ground around a walk lie where that height is, and nowhere else") {
    const geo::LocalFrame frame({2.2, 56.2});
    const survey::MapPicture picture = picture_of(walk(), cone_m);
    CHECK(picture.contour_step_m == 10); // from about 300 down to under -110 m
    CHECK(picture.heights_known == 1);
    REQUIRE(picture.contours.size() > 20);
    for (const survey::PictureContour& one : picture.contours) {
        CHECK(one.index == (std::fmod(one.height_m, 50) == 0));
        for (const geo::Position p : one.line) {
            const geo::Metres2 at = frame.to_plane(p);
            CHECK(std::abs(geo::length_m(at - geo::Metres2{2000, 100}) / 5 - (300 - one.height_m)) < 0.6);
            CHECK(std::abs(at.y_m) < 401); // cut off with the rest of the picture
        }
    }
    for (const survey::PictureName& name : picture.names) {
        CHECK(name.of == survey::PictureName::Of::contour);
        CHECK(std::abs(cone_m(name.at) - std::stod(name.text)) < 0.6);
    }
    CHECK(picture.names.size() >= 16); // 50, 100, 150, 200 m, to both sides of the walk and of the hill
}

TEST_CASE("the interval follows the relief, and is coarser where there would be too many points") {
    const auto slope = [](double rise) {
        return [rise](geo::Position p) { return std::optional(100 + rise * (p.lon_deg - 2.2)); };
    };
    const double per_km = 1000 / 61900.0;                               // degrees of longitude here
    CHECK(picture_of(walk(), slope(10 / per_km)).contour_step_m == 5);  // 48 m in all
    CHECK(picture_of(walk(), slope(60 / per_km)).contour_step_m == 10); // 288 m
    CHECK(picture_of(walk(), slope(200 / per_km)).contour_step_m == 20);
    const auto hills = [](geo::Position p) {
        return std::optional(40 + 40 * std::sin(p.lon_deg * 9000) * std::sin(p.lat_deg * 16000));
    };
    CHECK(picture_of(walk(), hills).contour_step_m == 5);
    CHECK(picture_of(walk(), hills, 3000).contour_step_m > 5);
    for (const double km : {20.0, 100.0, 300.0}) {
        CAPTURE(km);
        std::size_t asked = 0, points = 0;
        const auto count = [&](geo::Position p) {
            ++asked;
            return hills(p);
        };
        for (const auto& one : picture_of(walk(km * 1000), count).contours)
            points += one.line.size();
        CHECK(points <= 20'000);
        CHECK(asked < 80'000);
    }
}

TEST_CASE("where no height is known there is no contour, and the picture says so") {
    CHECK(picture_of(walk(), [](geo::Position) { return std::nullopt; }).contour_step_m == 0);
    const auto half = [](geo::Position p) {
        return p.lat_deg > 56.2 ? std::optional(cone_m(p)) : std::nullopt;
    };
    const survey::MapPicture picture = picture_of(walk(), half);
    CHECK(picture.heights_known == doctest::Approx(0.5).epsilon(0.1));
    for (const survey::PictureContour& one : picture.contours)
        for (const geo::Position p : one.line)
            CHECK(p.lat_deg > 56.2);
    survey::MapPicture none = picture;
    survey::add_contours({}, cone_m, none);
    CHECK(none.contours.size() == picture.contours.size());
    CHECK(picture_of(walk(0), cone_m).contour_step_m > 0); // a single place is no route, and does no harm
}
