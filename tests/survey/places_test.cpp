#include "surveyed.hpp"

#include <doctest/doctest.h>

// Entries that are one event to the walkers share a place: the contract of the result.

using namespace waywarden;
using namespace waywarden::test;

TEST_CASE("the two carriageways of one road are one place; two roads are two") {
    const auto at = [](const std::string& first, const std::string& second) {
        const Sketch map(R"(
        D
    A . B . C
        .
    F . G . H
        E     )",
                         10,
                         {"w1 T" + first + " NABC", "w2 T" + second + " NHGF", "w3 Thighway=footway NDBGE"});
        return surveyed(map, "3:DBGE");
    };
    const auto dual = at("highway=trunk,oneway=yes,ref=A1", "highway=trunk,oneway=yes,ref=A1");
    CHECK(crossings(dual) == "road way/1 level 10; road way/2 level 30");
    CHECK(places(dual) == "1 1");
    CHECK(dual.crossings[0].facts.number("carriageways") == 2);
    CHECK(places(at("highway=trunk,ref=A1", "highway=trunk,ref=A1")) == "1 2");
    CHECK(places(at("highway=trunk,oneway=yes,ref=A1", "highway=trunk,oneway=yes,ref=A2")) == "1 2");
    CHECK(places(at("highway=trunk,oneway=yes,ref=A1", "highway=trunk_link,oneway=yes")) == "1 1");
}

TEST_CASE("a roundabout cut twice is one place") {
    const Sketch map(R"(
          D
    . . A B C
    . . . . .
    . . F G H
          E     )",
                     10, {"w1 Thighway=primary,junction=roundabout NBCHGFAB", "w3 Thighway=footway NDBGE"});
    const auto survey = surveyed(map, "3:DBGE");
    CHECK(crossings(survey) == "road way/1 level 10; road way/1 level 30");
    CHECK(places(survey) == "1 1");
}

TEST_CASE("tracks side by side are one place") {
    const Sketch map(R"(
          D
    A . . B . C
    F . . G . H
          E     )",
                     5, {"w1 Trailway=rail NABC", "w2 Trailway=rail NFGH", "w3 Thighway=footway NDBGE"});
    CHECK(places(surveyed(map, "3:DBGE")) == "1 1");
}

TEST_CASE("a path that runs beside a stream and cuts it again and again is one place, each cut listed") {
    const Sketch map(R"(
    a . . c . . e . . g
    A . . C . . E . . G )",
                     10, {"w1 Twaterway=ditch NaCeG", "w2 Thighway=path NAcEg"});
    const auto survey = surveyed(map, "2:AcEg");
    CHECK(survey.crossings.size() == 3);
    CHECK(places(survey) == "1 1 1");
    CHECK(survey.crossings[0].facts.number("pair_count") == 3);
    const Sketch wide(R"(
    a . . c . . e . . g
    .
    .
    A . . C . . E . . G )",
                      60, {"w1 Twaterway=ditch NaCeG", "w2 Thighway=path NAcEg"});
    CHECK(places(surveyed(wide, "2:AcEg")) == "1 2 3");
}
