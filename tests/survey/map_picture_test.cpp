#include "map/read.hpp"
#include "support/sketch.hpp"
#include "survey/cutting.hpp"
#include "survey/map_picture.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <fstream>

using namespace waywarden;
using survey::PictureClass;

namespace {

const std::vector<survey::PictureLine>& lines(const survey::MapPicture& picture, PictureClass of) {
    return picture.lines.at(static_cast<std::size_t>(of));
}

double area_m2(const survey::PlaneLine& ring) {
    double twice = 0;
    for (std::size_t i = 1; i < ring.size(); ++i)
        twice += geo::cross(ring[i - 1], ring[i]);
    return std::abs(twice) / 2;
}

/// A way along the walk from A to B, a wood beside it, and a road that leads far away.
const test::Sketch& village() {
    static const test::Sketch sketch(
        R"(
        P . . . . . Q . . . . . . . . . . . . . . . .
        . . . . . . . . . . . . . . . . . . . . . . .
        S . . . . . R . . . . . . . . . . . . . . . .
        A . . . . . B . . . . . . . . . . . . . . . C
    )",
        50,
        {"w1 Thighway=path,name=Kelda%20%Path NAB", "w2 Thighway=primary,ref=A9979 NBC",
         "w3 Tnatural=wood,name=Hag%20%Wood NPQRSP", "w4 Thighway=construction,construction=residential NAS",
         "nA Tplace=hamlet,name=Near", "nC Tplace=town,name=Far"});
    return sketch;
}

} // namespace

TEST_CASE("the picture is cut off at its reach; classes and names are those of the map") {
    const test::Sketch& sketch = village();
    const auto picture = survey::map_picture(sketch.route("AB"), sketch.ground(), 400);
    REQUIRE(picture.lines.size() == survey::k_picture_classes);
    CHECK(lines(picture, PictureClass::path).size() == 1);
    CHECK(lines(picture, PictureClass::wood).size() == 1);
    CHECK(lines(picture, PictureClass::works).size() == 1);
    CHECK(lines(picture, PictureClass::sea).empty());
    REQUIRE(lines(picture, PictureClass::major_road).size() == 1);
    const survey::PictureLine& road = lines(picture, PictureClass::major_road).front();
    CHECK(geo::distance_m(road.front(), road.back()) == doctest::Approx(400).epsilon(0.01));
    const auto named = [&](const std::string& text) {
        return std::any_of(picture.names.begin(), picture.names.end(),
                           [&](const survey::PictureName& one) { return one.text == text; });
    };
    CHECK(named("Near"));
    CHECK(named("Kelda Path"));
    CHECK(named("A9979"));
    CHECK(named("Hag Wood"));
    CHECK_FALSE(named("Far"));
    CHECK(picture.names.front().text == "Near"); // places before roads
}

TEST_CASE("the sea is to the right of the coastline, as OSM draws it") {
    // https://wiki.openstreetmap.org/wiki/Tag:natural=coastline: land on the left, water on the right.
    const char* drawing = R"(
        . . . . . . . . . . . . . . . . . . . . . . . . . .
        A . . . . . . . . . . . C . D . . . . . . . . . . B
        . . . . . . . . . . . . . . . . . . . . . . . . . .
    )";
    for (const bool eastward : {true, false}) {
        const test::Sketch sketch(drawing, 50,
                                  {eastward ? "w1 Tnatural=coastline NAB" : "w1 Tnatural=coastline NBA"});
        const auto picture = survey::map_picture(sketch.route("CD"), sketch.ground(), 300);
        REQUIRE(lines(picture, PictureClass::sea).size() == 1);
        const double coast_deg = sketch.at('A').lat_deg;
        for (const geo::Position p : lines(picture, PictureClass::sea).front())
            CHECK((eastward ? p.lat_deg <= coast_deg + 1e-6 : p.lat_deg >= coast_deg - 1e-6));
    }
}

TEST_CASE("what is within reach of a straight line has the area of a strip with round ends") {
    const survey::Cutter cutter({{{0, 0}, {1000, 0}}}, 100);
    const auto outline = cutter.outline();
    REQUIRE(outline.size() == 1);
    const double round = 3.14159265358979 * 100 * 100; // inscribed polygons are a little smaller
    CHECK(area_m2(outline[0]) < 200'000 + round);
    CHECK(area_m2(outline[0]) > 200'000 + 0.98 * round);
    // A square that reaches out to the north is cut at the edge; its hole stays a ring of its own.
    const survey::PlanePolygon square{{{400, 0}, {600, 0}, {600, 500}, {400, 500}, {400, 0}},
                                      {{{450, 20}, {550, 20}, {550, 60}, {450, 60}, {450, 20}}}};
    const auto rings = cutter.cut(square, 1);
    REQUIRE(rings.size() == 2);
    CHECK(area_m2(rings[0]) == doctest::Approx(200 * 100));
    CHECK(area_m2(rings[1]) == doctest::Approx(100 * 40));
    CHECK(cutter.cut(survey::PlaneLine{{0, 200}, {1000, 200}}, 1).empty());
    CHECK(cutter.holds({500, 99}));
    CHECK_FALSE(cutter.holds({500, 101}));
}

TEST_CASE("a picture of too many points is drawn coarser, and the same every time") {
    const test::Sketch& sketch = village();
    const auto fine = survey::map_picture(sketch.route("AB"), sketch.ground(), 400);
    const auto again = survey::map_picture(sketch.route("AB"), sketch.ground(), 400);
    CHECK(fine.lines == again.lines);
    CHECK(fine.detail_m == 2);
    const auto coarse = survey::map_picture(sketch.route("AB"), sketch.ground(), 400, 1);
    CHECK(coarse.detail_m > 2);
}

TEST_SUITE("real") {
    TEST_CASE("on a real map nothing is drawn out of reach") {
        const std::string path = WAYWARDEN_SHARED_DATA "/extracts/rutland-2022.osm.pbf";
        if (!std::ifstream(path)) {
            MESSAGE("skipped: there is no " << path);
            return;
        }
        route::Route route;
        route.segments.push_back(
            {{{{-0.70, 52.65}, {}, 0}, {{-0.68, 52.65}, {}, 0}, {{-0.66, 52.66}, {}, 0}}});
        map::Corridor corridor;
        corridor.reach_m = 400;
        corridor.lines.push_back({{-0.70, 52.65}, {-0.68, 52.65}, {-0.66, 52.66}});
        const map::Ground ground = map::read(std::vector<std::string>{path}, corridor, {});
        const auto picture = survey::map_picture(route, ground, 400);
        CHECK(picture.points > 1000);
        const geo::LocalFrame frame({-0.68, 52.65});
        std::size_t far = 0;
        for (const auto& of_class : picture.lines)
            for (const survey::PictureLine& line : of_class)
                for (const geo::Position p : line) {
                    double nearest_m = 1e9;
                    for (std::size_t i = 1; i < corridor.lines[0].size(); ++i)
                        nearest_m = std::min(nearest_m,
                                             geo::nearest_on_segment(frame.to_plane(p),
                                                                     frame.to_plane(corridor.lines[0][i - 1]),
                                                                     frame.to_plane(corridor.lines[0][i]))
                                                 .distance_m);
                    far += nearest_m > 401;
                }
        CHECK(far == 0);
    }
}
