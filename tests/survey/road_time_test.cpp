#include "survey/road_time.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace waywarden::survey;

namespace {

constexpr double k_kmh_per_mph = 1.609344;
constexpr double k_file_ft = 8;

} // namespace

/// Worked by hand from the formula of the HCM (2010, ch. 19): 6/1.07 + 3 + 2 x 6 = 20.6 s; in that time a car
/// makes 368 m at 40 mph (17.88 m/s) and 553 m at 60 mph (26.82 m/s).
TEST_CASE("seven in single file over a road of 6 m") {
    const double time_s = cross_time_s(6, 7, k_file_ft);
    CHECK(time_s == doctest::Approx(20.6).epsilon(0.002));
    CHECK(sight_need_m(40 * k_kmh_per_mph, time_s) == doctest::Approx(368).epsilon(0.002));
    CHECK(sight_need_m(60 * k_kmh_per_mph, time_s) == doctest::Approx(553).epsilon(0.002));
    CHECK(group_cross_time_s(6, 7) == time_s);
}

/// int(8 x 29 / 16) + 1 = 15 rows: 6/1.07 + 3 + 28 = 36.6 s.
TEST_CASE("thirty over a front of 16 ft") {
    CHECK(cross_time_s(6, 30, 16) == doctest::Approx(36.6).epsilon(0.002));
    CHECK(group_cross_time_s(6, 30) == cross_time_s(6, 30, 16));
}

/// 7.3 m at 3.5 ft/s (1.07 m/s) and 3 s.
TEST_CASE("one walker is one row, and so is nobody") {
    CHECK(cross_time_s(7.3, 1, k_file_ft) == doctest::Approx(7.3 / 1.07 + 3));
    CHECK(cross_time_s(7.3, 0, k_file_ft) == cross_time_s(7.3, 1, k_file_ft));
}

TEST_CASE("more walkers or a wider road never take less time") {
    for (int n = 1; n < 400; ++n)
        for (const double width_m : {3.0, 6.0, 14.6}) {
            CHECK(group_cross_time_s(width_m, n + 1) >= group_cross_time_s(width_m, n));
            CHECK(group_cross_time_s(width_m + 0.1, n) > group_cross_time_s(width_m, n));
        }
}

/// The table for 30, 40, 50 and 60 mph at 2 s: one step below desirable (0.375 g) and desirable (0.25 g).
TEST_CASE("stopping sight distances at 2 s") {
    const double mph[] = {30, 40, 50, 60}, absolute_m[] = {51, 79, 113, 151},
                 desirable_m[] = {63, 101, 147, 200};
    for (int i = 0; i < 4; ++i) {
        CHECK(std::lround(stopping_sight_m(mph[i] * k_kmh_per_mph)) == absolute_m[i]);
        CHECK(std::lround(stopping_sight_m(mph[i] * k_kmh_per_mph, 2, 0.25)) == desirable_m[i]);
    }
}

/// TD 9/93 Table 3 (CD 109 Table 2.10): desirable minimum for design speeds of 120 to 50 km/h, rounded by the
/// standard to 5 or 10 m.
TEST_CASE("stopping sight distances of CD 109 are met to the rounding of the table") {
    const double kmh[] = {120, 100, 85, 70, 60, 50}, metres[] = {295, 215, 160, 120, 90, 70};
    for (int i = 0; i < 6; ++i)
        CHECK(std::abs(stopping_sight_m(kmh[i], 2, 0.25) - metres[i]) < 5);
}

/// Manual for Streets (DfT 2007), Table 7.1, without the bonnet; the table's speeds in mph are rounded from
/// km/h.
TEST_CASE("stopping sight distances of Manual for Streets: 1.5 s and 0.45 g") {
    const double mph[] = {10, 12, 15, 16, 19, 20, 25, 28, 30, 31, 37},
                 metres[] = {9, 12, 15, 16, 20, 22, 31, 36, 40, 43, 56};
    for (int i = 0; i < 11; ++i)
        CHECK(std::abs(stopping_sight_m(mph[i] * k_kmh_per_mph, 1.5, 0.45) - metres[i]) <= 1.2);
}

TEST_CASE("the width of a road: recorded, by lanes, by class; a wrong tag does not make it nothing") {
    CHECK(road_width(5.2, 2, "unclassified", false).metres == 5.2);
    CHECK(road_width(5.2, 2, "unclassified", false).source == "recorded");
    CHECK(road_width(std::nullopt, 2, "secondary", false).metres == 6);
    CHECK(road_width(std::nullopt, 4, "trunk", false).metres == doctest::Approx(14.6));
    CHECK(road_width(std::nullopt, std::nullopt, "primary", false).metres == 7.3); // CD 127
    CHECK(road_width(std::nullopt, std::nullopt, "primary_link", false).metres == 7.3);
    CHECK(road_width(std::nullopt, std::nullopt, "trunk", true).metres == 7.3); // two lanes one way
    CHECK(road_width(std::nullopt, std::nullopt, "residential", true).metres == 3.5);
    CHECK(road_width(0, 0, "tertiary", false).source == "class");
}

TEST_CASE("lanes are tested at 40 mph where their 60 is only presumed, other roads at their limit") {
    const double nsl_kmh = 60 * k_kmh_per_mph;
    const auto none = std::nullopt;
    CHECK(sight_speed_kmh(nsl_kmh, false, none, none, "unclassified") == k_lane_speed_kmh);
    CHECK(sight_speed_kmh(nsl_kmh, false, none, none, "secondary") == nsl_kmh);
    CHECK(sight_speed_kmh(nsl_kmh, true, none, none, "unclassified") == nsl_kmh);
    CHECK(sight_speed_kmh(nsl_kmh, false, none, 2, "unclassified") == nsl_kmh);
    CHECK(sight_speed_kmh(nsl_kmh, true, 3.0, none, "tertiary") == k_lane_speed_kmh);
    CHECK(sight_speed_kmh(nsl_kmh, true, none, 1, "tertiary") == k_lane_speed_kmh);
    CHECK(sight_speed_kmh(32.2, false, none, 1, "residential") == 32.2); // never raised
    CHECK_FALSE(sight_speed_kmh(none, false, none, none, "unclassified"));
}
