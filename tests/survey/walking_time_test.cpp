#include "survey/walking_time.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

using namespace waywarden::survey;

namespace {

Effort by(TimeMethod method) {
    Effort out;
    out.method = method;
    return out;
}

/// A piece of 1 km on the map that rises at an angle.
ProfilePiece sloped(double slope_deg) {
    return {1000, 1000 * std::tan(slope_deg * std::acos(-1) / 180)};
}

double minutes(TimeMethod method, ProfilePiece piece) {
    return walking_min(by(method), std::vector{piece});
}

} // namespace

// Source: W. W. Naismith, Scottish Mountaineering Club Journal II (1892): an hour for 3 miles on the map and
// an hour for 2000 feet of ascent; in metres 12 min/km and 10 min/100 m, which is the same to 3 %.
TEST_CASE("Naismith's rule, on its own figures and in metres") {
    CHECK(*walking_min(by(TimeMethod::naismith), 5000, 0, 0) == doctest::Approx(60));
    CHECK(*walking_min(by(TimeMethod::naismith), 0, 600, 0) == doctest::Approx(60));
    CHECK(*walking_min(by(TimeMethod::naismith), 3 * 1609.344, 2000 * 0.3048, 0) ==
          doctest::Approx(120).epsilon(0.03));
    // 20 km with 1000 m of climb: 4 h and 1 h 40 min. (The form by equal distances, 8 : 1, gives 5 h 36 min.)
    CHECK(*walking_min(by(TimeMethod::naismith), 20000, 1000, 800) == doctest::Approx(5 * 60 + 40));
    CHECK(walking_min(by(TimeMethod::naismith),
                      std::vector<ProfilePiece>{{8000, 400}, {6000, -800}, {6000, 600}}) ==
          doctest::Approx(5 * 60 + 40));
}

// Source: the party's own figures; with 4 km/h and 10 min, 6 km and 300 m are 1 h 30 min and 30 min.
TEST_CASE("a party's own pace, its loads and its rests") {
    Effort effort{TimeMethod::party, 4, 10, 10, 1};
    CHECK(*walking_min(effort, 6000, 300, 500) == doctest::Approx(120));
    CHECK(rest_min(effort, 120) == doctest::Approx(20));
    effort.load_factor = 1.25;
    CHECK(*walking_min(effort, 6000, 300, 500) == doctest::Approx(150));
    CHECK(words_of(effort) ==
          "the party's own pace, 4 km/h and 10 min for 100 m of climb, times 1.25 for loads, and "
          "10 min of rest in each hour");
    // Naismith's figures as a party's own are Naismith's rule.
    CHECK(*walking_min({TimeMethod::party, 5, 10, 0, 1}, 12345, 678, 90) ==
          doctest::Approx(*walking_min(by(TimeMethod::naismith), 12345, 678, 90)));
}

// Source: E. Langmuir, Mountaincraft and Leadership: 10 min less for 300 m of descent on slopes of 5 to 12
// degrees, 10 min more on steeper ones. The figures follow from that by hand: 1 km is 12 min.
TEST_CASE("Langmuir's corrections go by the slope of each piece") {
    const auto langmuir = TimeMethod::naismith_langmuir;
    const std::vector<ProfilePiece> moderate{{3000, -300}}; // 5.7 degrees
    const std::vector<ProfilePiece> steep{{1000, -300}};    // 16.7 degrees
    const std::vector<ProfilePiece> gentle{{6000, -300}};   // 2.9 degrees
    CHECK(walking_min(by(langmuir), moderate) == doctest::Approx(36 - 10));
    CHECK(walking_min(by(langmuir), steep) == doctest::Approx(12 + 10));
    CHECK(walking_min(by(langmuir), gentle) == doctest::Approx(72));
    CHECK(walking_min(by(langmuir), std::vector<ProfilePiece>{{3000, -300}, {1000, -300}, {3000, 300}}) ==
          doctest::Approx(26 + 22 + 36 + 30));
    // The edges: 4.9, 5.1, 11.9 and 12.1 degrees.
    CHECK(minutes(langmuir, sloped(-4.9)) == doctest::Approx(12));
    CHECK(minutes(langmuir, sloped(-5.1)) == doctest::Approx(12 - 89.25 / 30).epsilon(1e-4));
    CHECK(minutes(langmuir, sloped(-11.9)) == doctest::Approx(12 - 210.73 / 30).epsilon(1e-4));
    CHECK(minutes(langmuir, sloped(-12.1)) == doctest::Approx(12 + 214.38 / 30).epsilon(1e-4));
}

// Source: W. Tobler, Three Presentations on Geographical Analysis and Modeling, NCGIA Technical Report 93-1
// (1993): the table of speeds by slope on a path.
TEST_CASE("Tobler's hiking function gives the speeds of its table") {
    struct Row {
        double slope_deg, kmh;
    };
    const Row rows[] = {{-20, 2.00}, {-10, 3.86}, {-5, 5.26}, {0, 5.04},  {1, 4.74},
                        {5, 3.71},   {10, 2.72},  {15, 1.97}, {20, 1.41}, {30, 0.67}};
    for (const Row& row : rows) {
        CAPTURE(row.slope_deg);
        CHECK(std::abs(60 / minutes(TimeMethod::tobler, sloped(row.slope_deg)) - row.kmh) < 0.0051);
    }
    // Fastest, 6 km/h, where it falls by a twentieth.
    CHECK(minutes(TimeMethod::tobler, {1000, -50}) == doctest::Approx(10));
}

// Source: DIN 33466:2004-05, Wegweiser fuer Wanderwege, by the worked examples of the Austrian Alpine Club's
// handbook on paths: 1200 m up on 6 km take 4 h and 45 min, 600 m up on 4 km 2 h 30 min.
TEST_CASE("DIN 33466 on its worked examples") {
    CHECK(*walking_min(by(TimeMethod::din_33466), 6000, 1200, 0) == doctest::Approx(4 * 60 + 45));
    CHECK(*walking_min(by(TimeMethod::din_33466), 4000, 600, 0) == doctest::Approx(2 * 60 + 30));
    // By the rule itself: 500 m down are an hour, on 8 km, which are two.
    CHECK(*walking_min(by(TimeMethod::din_33466), 8000, 0, 500) == doctest::Approx(120 + 30));
}

TEST_CASE("methods that go by the slope give nothing where only sums are known") {
    CHECK(!walking_min(by(TimeMethod::tobler), 5000, 100, 0));
    CHECK(!walking_min(by(TimeMethod::tobler), 5000, 0, 100));
    CHECK(!walking_min(by(TimeMethod::naismith_langmuir), 5000, 0, 100));
    CHECK(*walking_min(by(TimeMethod::naismith_langmuir), 5000, 100, 0) == doctest::Approx(70));
    CHECK(*walking_min(by(TimeMethod::tobler), 5037, 0, 0) == doctest::Approx(60).epsilon(1e-3));
}

TEST_CASE("methods are known by their names") {
    for (const char* name : {"party", "naismith", "naismith_langmuir", "tobler", "din_33466"}) {
        REQUIRE(time_method(name));
        CHECK(std::string(to_string(*time_method(name))) == name);
        CHECK(!words_of(by(*time_method(name))).empty());
    }
    CHECK(!time_method("Naismith"));
    CHECK(!time_method(""));
}
