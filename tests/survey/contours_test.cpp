#include "survey/contours.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <functional>
#include <limits>
#include <random>
#include <set>

namespace {

using namespace waywarden;
using survey::Contour;
using survey::HeightGrid;

using Surface = std::function<double(double x_m, double y_m)>;

/// A square of ground with its middle at 0, 0.
HeightGrid ground(double half_m, double step_m, const Surface& height_m) {
    HeightGrid out;
    out.step_m = step_m;
    out.corner = {-half_m, -half_m};
    out.columns = out.rows = static_cast<std::size_t>(std::lround(2 * half_m / step_m)) + 1;
    for (std::size_t row = 0; row < out.rows; ++row)
        for (std::size_t column = 0; column < out.columns; ++column)
            out.height_m.push_back(height_m(-half_m + static_cast<double>(column) * step_m,
                                            -half_m + static_cast<double>(row) * step_m));
    return out;
}

bool closed(const Contour& one) {
    return one.line.front().x_m == one.line.back().x_m && one.line.front().y_m == one.line.back().y_m;
}

double area_m2(const survey::PlaneLine& ring) { // against the clock positive: the shoelace formula
    double out = 0;
    for (std::size_t i = 0; i + 1 < ring.size(); ++i)
        out += geo::cross(ring[i], ring[i + 1]) / 2;
    return out;
}

} // namespace

// Elementary geometry: the contour at height h of a cone of height H and slope s is the circle of radius (H -
// h) / s. Along a side of the grid a cone is convex with a second derivative of at most s / r, so that the
// line between two nodes lies over it by at most s * step^2 / (8 r), which is step^2 / (8 r) on the ground; a
// chord of a square (at most step * sqrt 2) lies within the circle by at most (step * sqrt 2)^2 / (8 r).
TEST_CASE("the contours of a cone are circles, within the error of the grid") {
    for (const double step_m : {10.0, 20.0, 40.0}) {
        constexpr double k_top_m = 203, k_slope = 0.25;
        const auto lines = survey::contours(
            ground(700, step_m,
                   [&](double x, double y) { return k_top_m - k_slope * std::hypot(x - 3, y + 7); }),
            10);
        std::size_t circles = 0;
        for (const Contour& one : lines) {
            const double radius_m = (k_top_m - one.height_m) / k_slope;
            if (radius_m < 2 * step_m || radius_m > 680) continue;
            ++circles;
            CAPTURE(one.height_m);
            CHECK(closed(one));
            for (const geo::Metres2 p : one.line) {
                const double off_m = std::hypot(p.x_m - 3, p.y_m + 7) - radius_m;
                CHECK(std::abs(off_m) <= step_m * step_m / (8 * (radius_m - step_m)) + 1e-9);
            }
            // Higher ground on the left: against the clock round a summit.
            CHECK(area_m2(one.line) == doctest::Approx(M_PI * radius_m * radius_m)
                                           .epsilon(step_m * step_m / (2 * radius_m * radius_m) + 1e-9));
        }
        CHECK(circles >= 14); // of 200, 190, … 40 m, but for those too near the top
    }
}

TEST_CASE("a slope that is even has straight contours, each at its place") {
    // 1 in 5 up to the east: the contour at h lies at x = 5 h.
    const auto lines = survey::contours(ground(100, 10, [](double x, double) { return x / 5; }), 5);
    std::set<double> heights;
    for (const Contour& one : lines) {
        heights.insert(one.height_m);
        for (const geo::Metres2 p : one.line)
            CHECK(p.x_m == doctest::Approx(5 * one.height_m));
        CHECK(one.line.size() == 21);                      // from edge to edge in one piece
        CHECK(one.line.front().y_m > one.line.back().y_m); // down the page: higher ground on the left
    }
    CHECK(heights == std::set<double>{-15, -10, -5, 5, 10, 15, 20}); // at -20 all is higher; 0 is the sea
}

TEST_CASE("no contour crosses ground of unknown height, and flat ground has none") {
    const double none = std::numeric_limits<double>::quiet_NaN();
    const auto lines = survey::contours(
        ground(200, 10, [&](double x, double y) { return std::abs(y) < 35 ? none : x / 2; }), 10);
    REQUIRE_FALSE(lines.empty());
    for (const Contour& one : lines)
        for (const geo::Metres2 p : one.line)
            CHECK(std::abs(p.y_m) >= 40);
    CHECK(survey::contours(ground(200, 10, [](double, double) { return 20.0; }), 10).empty());
    CHECK(survey::contours(ground(200, 10, [&](double, double) { return none; }), 10).empty());
    CHECK(survey::contours({}, 10).empty());
}

TEST_CASE("a saddle is cut as its middle has it") {
    // Four nodes, two high ones opposite: their mean, 12.5 or 7.5, says on which side of 10 the middle is.
    for (const double low_m : {5.0, -5.0}) {
        HeightGrid grid{{0, 0}, 10, 2, 2, {20, low_m, low_m, 20}};
        std::vector<Contour> at_10;
        for (const Contour& one : survey::contours(grid, 10))
            if (one.height_m == 10) at_10.push_back(one);
        REQUIRE(at_10.size() == 2);
        for (const Contour& one : at_10) {
            // About the low corners (10, 0) and (0, 10) where the middle is high, else about the high ones.
            const geo::Metres2 p = one.line.front(), q = one.line.back();
            const bool about_low = (p.y_m == 0 && q.x_m == 10) || (p.y_m == 10 && q.x_m == 0) ||
                                   (q.y_m == 0 && p.x_m == 10) || (q.y_m == 10 && p.x_m == 0);
            CHECK(about_low == (low_m > 0));
        }
    }
}

// By Morse theory on the grid: whatever the ground, a contour is closed or ends at the edge, all of it is at
// its height, and none has an end within.
TEST_CASE("contours of any ground are whole") {
    for (unsigned seed = 1; seed <= 20; ++seed) {
        std::mt19937 random(seed);
        const HeightGrid grid = ground(200, 20, [&](double, double) {
            return std::round(
                std::uniform_real_distribution<>(-30, 30)(random)); // with many at a level exactly
        });
        const auto lines = survey::contours(grid, 5);
        CHECK(lines.size() > 10);
        for (const Contour& one : lines) {
            const auto at_edge = [](geo::Metres2 p) {
                return std::abs(std::abs(p.x_m) - 200) < 1e-9 || std::abs(std::abs(p.y_m) - 200) < 1e-9;
            };
            CHECK((closed(one) || (at_edge(one.line.front()) && at_edge(one.line.back()))));
            CHECK(one.line.size() >= 2);
        }
    }
}
