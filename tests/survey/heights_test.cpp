#include "geo/position.hpp"
#include "survey/height_model.hpp"
#include "survey/heights.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <functional>
#include <numbers>
#include <random>

using namespace waywarden;
using survey::HeightLine;

namespace {

constexpr geo::Position k_start{2.2, 56.2};

/// A line due north with a point every `apart_m` and heights by a function of the distance.
route::Route line(double length_m, double apart_m,
                  const std::function<std::optional<double>(double)>& height) {
    const geo::LocalFrame frame(k_start);
    route::Route out;
    out.segments.emplace_back();
    for (double at_m = 0; at_m <= length_m + 1e-6; at_m += apart_m)
        out.segments.back().points.push_back({frame.to_position({0, at_m}), height(at_m), 0});
    return out;
}

/// Five hills of 100 m in 10 km: 500 m up and 500 m down.
double hills(double at_m) {
    return 200 - 50 * std::cos(2 * std::numbers::pi * at_m / 2000);
}

/// Noise with a spread of 1 m, the same on every machine.
class Noise {
  public:
    double operator()() {
        double sum = 0; ///< twelve evenly spread numbers have a spread of 1
        for (int i = 0; i < 12; ++i)
            sum += static_cast<double>(m_source()) / static_cast<double>(std::mt19937::max());
        return sum - 6;
    }

  private:
    std::mt19937 m_source{20261125};
};

double whole(const HeightLine& heights) {
    return heights.length_m;
}

} // namespace

// A made profile: what is climbed is known by construction.
TEST_CASE("hills give what they are high, with and without noise") {
    const HeightLine clean = survey::heights_of_file(line(10000, 10, hills));
    const auto climb = survey::climb_between(clean, 0, whole(clean));
    REQUIRE(climb);
    CHECK(climb->ascent_m == doctest::Approx(500).epsilon(0.01));
    CHECK(climb->descent_m == doctest::Approx(500).epsilon(0.01));

    Noise noise;
    const HeightLine noisy =
        survey::heights_of_file(line(10000, 10, [&](double at_m) { return hills(at_m) + noise(); }));
    const auto with_noise = survey::climb_between(noisy, 0, whole(noisy));
    REQUIRE(with_noise);
    CHECK(with_noise->ascent_m == doctest::Approx(500).epsilon(0.02));
    CHECK(with_noise->descent_m == doctest::Approx(500).epsilon(0.02));
}

TEST_CASE("a metre of noise on flat ground is no climb, and without smoothing would be hundreds") {
    Noise noise;
    double naive_m = 0, last_m = 12;
    const HeightLine flat = survey::heights_of_file(line(10000, 10, [&](double) {
        const double height_m = 12 + noise();
        naive_m += std::max(height_m - last_m, 0.0);
        last_m = height_m;
        return height_m;
    }));
    CHECK(naive_m > 400);
    const auto climb = survey::climb_between(flat, 0, whole(flat));
    REQUIRE(climb);
    CHECK(climb->ascent_m == 0);
    CHECK(climb->descent_m == 0);
}

TEST_CASE("an even slope is climbed evenly, and legs add up to the whole") {
    const HeightLine slope = survey::heights_of_file(line(3000, 50, [](double at_m) { return at_m / 10; }));
    CHECK(survey::climb_between(slope, 1000, 2000)->ascent_m == doctest::Approx(100).epsilon(0.001));
    CHECK(survey::climb_between(slope, 1000, 2000)->descent_m == 0);
    CHECK(survey::climb_between(slope, 0, whole(slope))->ascent_m == doctest::Approx(300).epsilon(0.001));

    Noise noise;
    const HeightLine noisy =
        survey::heights_of_file(line(10000, 10, [&](double at_m) { return hills(at_m) + noise(); }));
    double up_m = 0, down_m = 0;
    for (double at_m = 0; at_m < whole(noisy); at_m += 777) {
        const auto leg = survey::climb_between(noisy, at_m, at_m + 777);
        REQUIRE(leg);
        CHECK(leg->ascent_m >= 0);
        CHECK(leg->descent_m >= 0);
        up_m += leg->ascent_m;
        down_m += leg->descent_m;
    }
    const auto climb = survey::climb_between(noisy, 0, whole(noisy));
    CHECK(up_m == doctest::Approx(climb->ascent_m));
    CHECK(down_m == doctest::Approx(climb->descent_m));
}

TEST_CASE("where heights are missing nothing is known, and never 0") {
    const auto half = [](double at_m) { return at_m < 1005 ? std::optional(at_m / 10) : std::nullopt; };
    const HeightLine heights = survey::heights_of_file(line(2000, 10, half));
    CHECK(survey::climb_between(heights, 0, 900)->ascent_m == doctest::Approx(90).epsilon(0.01));
    CHECK(!survey::climb_between(heights, 0, 1100));
    CHECK(!survey::climb_between(heights, 1500, 1600));
    CHECK(survey::pieces_between(heights, 900, 1100).empty());
    CHECK(survey::share_known(heights) == doctest::Approx(0.5).epsilon(0.02));
    CHECK(heights.words ==
          "the file's own elevations, smoothed over 50 m; rises and falls under 5 m not counted; "
          "unknown on 50 % of the line");

    const HeightLine none = survey::heights_of_file(line(2000, 10, [](double) { return std::nullopt; }));
    CHECK(!survey::climb_between(none, 0, 2000));
    CHECK(none.words.empty());
    CHECK(none.why_not.empty());
}

TEST_CASE("a file filled with one height has none") {
    const HeightLine zeros = survey::heights_of_file(line(2000, 10, [](double) { return 0.0; }));
    CHECK(!survey::climb_between(zeros, 0, 1000));
    CHECK(zeros.words.empty());
    CHECK(zeros.why_not == "Every elevation in the file is 0 m: taken as not known.");
}

TEST_CASE("between points far apart nobody knows how it goes up and down") {
    CHECK(survey::climb_between(survey::heights_of_file(line(2000, 250, hills)), 0, 2000));
    CHECK(!survey::climb_between(survey::heights_of_file(line(2000, 400, hills)), 0, 2000));
}

TEST_CASE("what lies between two segments is neither smoothed over nor climbed") {
    route::Route two = line(1000, 10, [](double at_m) { return 100 + at_m / 10; });
    const geo::LocalFrame far(geo::Position{2.3, 56.3});
    auto& second = two.segments.emplace_back();
    for (double at_m = 0; at_m <= 1000; at_m += 10)
        second.points.push_back({far.to_position({0, at_m}), 500 + at_m / 10, 0});
    const HeightLine heights = survey::heights_of_file(two);
    const auto climb = survey::climb_between(heights, 0, heights.length_m);
    REQUIRE(climb);
    CHECK(climb->ascent_m == doctest::Approx(200).epsilon(0.01));

    // A track in many short segments that join is one line: 200 pieces of 10 m that rise by 1 m each.
    route::Route short_ones;
    const geo::LocalFrame frame(k_start);
    for (double at_m = 0; at_m < 2000; at_m += 10)
        short_ones.segments.push_back({{{frame.to_position({0, at_m}), at_m / 10, 0},
                                        {frame.to_position({0, at_m + 10}), at_m / 10 + 1, 0}}});
    const HeightLine joined = survey::heights_of_file(short_ones);
    CHECK(survey::climb_between(joined, 0, joined.length_m)->ascent_m == doctest::Approx(200).epsilon(0.01));
}

TEST_CASE("pieces cover what they are asked for and climb as it does") {
    const HeightLine heights = survey::heights_of_file(line(10000, 10, hills));
    const auto pieces = survey::pieces_between(heights, 130, 4321);
    CHECK(pieces.size() == 84);
    double length_m = 0, climb_m = 0;
    for (const survey::ProfilePiece& piece : pieces) {
        length_m += piece.length_m;
        climb_m += piece.climb_m;
    }
    CHECK(length_m == doctest::Approx(4191));
    const auto climb = survey::climb_between(heights, 130, 4321);
    CHECK(climb_m == doctest::Approx(climb->ascent_m - climb->descent_m));
    CHECK(survey::pieces_between(heights, 500, 500).empty());
}

TEST_CASE("a route of one point or none has no climb and does no harm") {
    CHECK(!survey::climb_between(survey::heights_of_file({}), 0, 0));
    const HeightLine one = survey::heights_of_file(line(0, 10, [](double) { return 7.0; }));
    CHECK(survey::climb_between(one, 0, 0)->ascent_m == 0);
    CHECK(survey::pieces_between(one, 0, 0).empty());
}
