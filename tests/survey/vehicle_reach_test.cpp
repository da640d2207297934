#include "surveyed.hpp"

#include <doctest/doctest.h>

using namespace waywarden;
using namespace waywarden::test;

namespace {

/// `from-to name` in order of the walk.
std::string reaches(const Sketch& map, std::string_view walk) {
    std::string out;
    for (const auto& one : surveyed(map, walk).vehicle_reach)
        out += fmt::format("{}{}-{} {}", out.empty() ? "" : "; ", std::lround(one.from_m),
                           std::lround(one.to_m), one.name);
    return out;
}

} // namespace

TEST_CASE("a vehicle gets to the walk where a road meets, crosses or carries it") {
    const auto road = [](const std::string& tags) {
        const Sketch map(R"(
    . . . N
    .
    A . . B . . C . . D
    .
    . . . S             )",
                         100,
                         {"w1 Thighway=path NABC", "w2 T" + tags + ",name=Wick_Lane NNBS",
                          "w3 Thighway=residential,name=Quay_Street NCD"});
        return reaches(map, "1:AB 1:BC 3:CD");
    };
    CHECK(road("highway=unclassified") == "600-600 Wick_Lane; 1200-1800 Quay_Street");
    CHECK(road("highway=track") == "1200-1800 Quay_Street"); // nobody says that vehicles may
    CHECK(road("highway=track,motor_vehicle=yes") == "600-600 Wick_Lane; 1200-1800 Quay_Street");
    CHECK(road("highway=unclassified,motor_vehicle=no") == "1200-1800 Quay_Street");
}

TEST_CASE("a road over a bridge brings nobody to the path below") {
    const Sketch map(R"(
    . . . N
    .
    A . . . . . C
    .
    . . . S       )",
                     100, {"w1 Thighway=path NAC", "w2 Thighway=secondary,bridge=yes,layer=1 NNS"});
    CHECK(reaches(map, "1:AC") == "");
}

TEST_CASE("a main road met from a lane keeps its name, and the lane stays one") {
    const auto met = [](const std::string& walk) {
        const Sketch map(R"(
    . . . N . . . . E
    .
    A . . B . . C . D . F
    .
    . . . S . . . . G   )",
                         100,
                         {"w1 Thighway=unclassified,name=Wick_Lane NABCD",
                          "w2 Thighway=primary,name=Great_Road NNBS",
                          "w3 Thighway=residential,name=Quay_Street NEDG", "w4 Thighway=path NDF"});
        return reaches(map, walk);
    };
    CHECK(met("1:ABCD 4:DF") == "0-1600 Wick_Lane; 600-600 Great_Road; 1600-1600 Quay_Street");
    CHECK(met("1:AB") == "0-600 Wick_Lane; 600-600 Great_Road");
    CHECK(met("1:BA") == "0-600 Wick_Lane; 0-0 Great_Road");
    CHECK(met("1:BCD 4:DF") == "0-1000 Wick_Lane; 0-0 Great_Road; 1000-1000 Quay_Street");
    CHECK(met("1:AB 2:BS") == "0-600 Wick_Lane; 600-800 Great_Road");
}
