#include "surveyed.hpp"

#include <doctest/doctest.h>

using namespace waywarden;
using namespace waywarden::test;

TEST_CASE("a lake entered and left is one crossing; the bridge and the way round are its harmless twins") {
    const auto walk = [](const std::string& path) {
        const Sketch map(R"(
        A . . B
    D . . . . . . E
        F . . G     )",
                         20, {"w1 Tnatural=water,water=lake NABGFA", "w2 Thighway=path" + path + " NDE"});
        return crossings(map, "2:DE");
    };
    CHECK(walk("") == "water way/1 none 140");
    CHECK(walk(",bridge=yes") == "water way/1 bridge 140");
    CHECK(walk(",ford=yes") == "water way/1 ford 140");
    CHECK(walk(",man_made=pier") == "water way/1 bridge 140");
    const Sketch round(R"(
    D . . . . . . E
        A . . B
        F . . G     )",
                       20, {"w1 Tnatural=water NABGFA", "w2 Thighway=path NDE"});
    CHECK(crossings(round, "2:DE") == "");
}

TEST_CASE("over open ground the piece in the lake is water, and the crossing has no means") {
    const Sketch map(R"(
        A . . B
    D . . . . . . E
        F . . G     )",
                     20, {"w1 Tnatural=water,water=lake,name=Innerwater NABGFA"});
    const auto survey = surveyed(map, "-:DE");
    CHECK(crossings(survey) == "water way/1 none 140");
    REQUIRE(survey.stretches.size() == 3);
    CHECK(survey.stretches[0].reading.access == map::Access::open_ground);
    CHECK(survey.stretches[1].reading.access == map::Access::water);
    CHECK_FALSE(survey.stretches[1].reading.osm);
    CHECK(survey.stretches[1].from_m == doctest::Approx(80).epsilon(0.01));
    CHECK(survey.stretches[1].to_m == doctest::Approx(200).epsilon(0.01));
    CHECK(survey.stretches[2].from_m == survey.stretches[1].to_m);
    CHECK(survey.stretches[2].reading.access == map::Access::open_ground);
}

TEST_CASE("a lake as a multipolygon with an island, its vertices far away") {
    const Sketch map(R"(
    A . . . . . . . . . B
    . . . . . . . . . . .
    . . . D . i j . E . .
    . . . . . k l . . . .
    C . . . . . . . . . F )",
                     200,
                     {"w1 NAB", "w2 NBFCA", "w3 Nijlki", "w4 Thighway=path NDE",
                      "r5 Ttype=multipolygon,natural=water Mw1@outer,w2@outer,w3@inner"});
    const auto survey = surveyed(map, "-:DE");
    REQUIRE(survey.crossings.size() == 1); // from the island's shore to the end, out in the lake
    CHECK(survey.crossings[0].osm == map::ObjectId{map::ObjectType::relation, 5});
    CHECK(survey.crossings[0].means == survey::Means::none);
}

TEST_CASE("a river as a line and an area is listed once, under the line") {
    const Sketch map(R"(
        D
    A . . . B
    m . . . n
    F . . . G
        E     )",
                     10,
                     {"w1 Twaterway=river,name=Sund Nmn", "w2 Thighway=path,bridge=yes NDE",
                      "w3 Tnatural=water,water=river NABGFA"});
    const auto survey = surveyed(map, "2:DE");
    CHECK(crossings(survey) == "water way/1 bridge 20");
    CHECK(survey.crossings[0].evidence.size() == 3);
}

TEST_CASE("a creek on a tidal flat does not hide the flat") {
    const Sketch map(R"(
    A . . . . . . . . . B
    . . . . . m . . . . .
    D . . . . . . . . . . E
    . . . . . n . . . . .
    F . . . . . . . . . G )",
                     50,
                     {"w1 Twaterway=tidal_channel Nmn", "w2 Thighway=path NDE",
                      "w3 Tnatural=wetland,wetland=tidalflat NABGFA"});
    const auto survey = surveyed(map, "2:DE");
    CHECK(survey.crossings.size() == 2);
    CHECK(places(survey) == "1 1");
    for (const auto& c : survey.crossings) {
        CHECK(c.means == survey::Means::none);
        CHECK(c.facts.flag("tidal") == true);
    }
    CHECK(spots(survey, "tidal_area") == "0-1000");
}

TEST_CASE("the sea lies right of the coastline") {
    const auto walk = [](const std::string& coast) {
        const Sketch map(R"(
    . . A . .
    D . . . E
    . . B . . )",
                         50, {"w1 Tnatural=coastline N" + coast});
        return surveyed(map, "-:DE");
    };
    // From A south to B: land to the left is the east.
    const auto ashore = walk("AB");
    REQUIRE(ashore.stretches.size() == 2);
    CHECK(ashore.stretches[0].reading.access == map::Access::water);
    CHECK(ashore.stretches[1].reading.access == map::Access::open_ground);
    CHECK(crossings(ashore) == "water way/1 none 100");
    CHECK(ashore.crossings[0].facts.text("waterway") == "sea");
    const auto to_sea = walk("BA");
    REQUIRE(to_sea.stretches.size() == 2);
    CHECK(to_sea.stretches[1].reading.access == map::Access::water);
}

TEST_CASE("a route wholly at sea is told from one wholly on land") {
    const auto walk = [](const std::string& coast) {
        const Sketch map(R"(
    . . . A
    D . E .
    . . . B )",
                         50, {"w1 Tnatural=coastline N" + coast});
        return surveyed(map, "-:DE").stretches.at(0).reading.access;
    };
    CHECK(walk("AB") == map::Access::water);
    CHECK(walk("BA") == map::Access::open_ground);
}

TEST_CASE("out along a pier and back is no crossing") {
    const Sketch map(R"(
    A . . . B
    . . P . . Q
    C . . . D )",
                     50, {"w1 Tnatural=water NABDCA", "w2 Thighway=footway,man_made=pier NPQ"});
    CHECK(crossings(map, "2:QPQ") == "");
}
