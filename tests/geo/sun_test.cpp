#include "geo/sun.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

using namespace waywarden::geo;
using namespace std::chrono;

namespace {

constexpr double k_minute_s = 60;

double minutes_of_day(UtcSeconds at) {
    return static_cast<double>((at - floor<days>(at)).count()) / k_minute_s;
}

/// "0902" as minutes.
double minutes_of(int clock) {
    return clock / 100 * 60 + clock % 100;
}

/// The table is to the minute, so that half a minute is its own error.
bool within_a_minute(const std::optional<UtcSeconds>& ours, int clock) {
    return ours && std::abs(minutes_of_day(*ours) - minutes_of(clock)) <= 1;
}

struct Row {
    int month, day, rise, set;
};

} // namespace

// Source: US Naval Observatory, Rise and Set for the Sun for 2019, N60 00 E000 00, Universal Time.
TEST_CASE("sunrise and sunset are those of the USNO at 60 degrees north") {
    const Row rows[] = {{1, 1, 902, 1505},   {1, 20, 840, 1543},  {3, 1, 659, 1726},   {3, 20, 603, 1814},
                        {4, 20, 430, 1930},  {5, 21, 310, 2045},  {6, 21, 236, 2128},  {7, 20, 313, 2058},
                        {9, 20, 539, 1807},  {10, 20, 651, 1638}, {10, 27, 708, 1618}, {11, 20, 809, 1521},
                        {12, 21, 902, 1454}, {12, 31, 903, 1503}};
    for (const Row& row : rows) {
        CAPTURE(row.month);
        CAPTURE(row.day);
        const SunTimes sun = sun_times({0, 60}, year(2019) / row.month / row.day);
        CHECK(within_a_minute(sun.rise, row.rise));
        CHECK(within_a_minute(sun.set, row.set));
    }
}

// Computed with the npm packages astronomy-engine 2.1.19 and suncalc 2.0.2, which agree within 0.2 minutes.
TEST_CASE("civil dawn and dusk are those of two other programs") {
    struct Day {
        Position place;
        year_month_day date;
        int rise, set, dawn, dusk;
    };
    const Day days_known[] = {
        {{-5.0037, 56.7969}, 2026y / 12 / 21, 855, 1541, 806, 1630},
        {{-5.0037, 56.7969}, 2026y / 6 / 21, 327, 2117, 220, 2224},
        {{-4.0763, 53.0685}, 2026y / 12 / 21, 828, 1601, 745, 1643},
        {{-0.1278, 51.5074}, 2026y / 3 / 20, 603, 1814, 530, 1847},
        {{-1.1450, 60.1550}, 2026y / 12 / 21, 908, 1457, 810, 1556},
        {{-1.8760, 53.3850}, 2026y / 10 / 24, 651, 1652, 615, 1727},
    };
    for (const Day& day : days_known) {
        CAPTURE(day.place.lat_deg);
        const SunTimes sun = sun_times(day.place, day.date);
        CHECK(within_a_minute(sun.rise, day.rise));
        CHECK(within_a_minute(sun.set, day.set));
        CHECK(within_a_minute(sun.dawn, day.dawn));
        CHECK(within_a_minute(sun.dusk, day.dusk));
    }
}

// Source: Reda and Andreas, Solar Position Algorithm, NREL/TP-560-34302, the worked example: zenith 50.111622
// degrees with refraction, at 2003-10-17 12:30:30 seven hours behind UTC.
TEST_CASE("the height of the sun is that of NREL's worked example") {
    const auto at = sys_days(2003y / 10 / 17) + hours(19) + minutes(30) + seconds(30);
    // NOAA promises 0.01 degrees; the example's refraction at 40 degrees is 0.016.
    CHECK(sun_altitude_deg({-105.1786, 39.742476}, at) ==
          doctest::Approx(90 - 50.111622 - 0.016).epsilon(3e-4));
}

// Polar day and night: at 70 degrees north the sun stays down from late November to mid-January and up from
// late May to late July (any almanac; from memory).
TEST_CASE("where the sun does not rise or set there is no time") {
    const SunTimes winter = sun_times({20, 72}, 2026y / 12 / 21);
    CHECK(!winter.rise);
    CHECK(!winter.set);
    CHECK(winter.dawn);
    CHECK(winter.dusk);
    const SunTimes summer = sun_times({20, 72}, 2026y / 6 / 21);
    CHECK(!summer.rise);
    CHECK(!summer.set);
    CHECK(!summer.dawn);
    // In Shetland and farther north civil twilight lasts all night about midsummer from some 60.6 degrees on.
    CHECK(!sun_times({0, 61}, 2026y / 6 / 21).dusk);
    CHECK(sun_times({0, 61}, 2026y / 6 / 21).set);
}

TEST_SUITE("real") {
    TEST_CASE("all of the USNO's rises and sets") {
        const std::string path = WAYWARDEN_SHARED_DATA "/reference/usno_sun_riseset.txt";
        if (!std::filesystem::exists(path)) {
            MESSAGE("skipped: no " << path);
            return;
        }
        std::ifstream file(path);
        std::string line;
        std::size_t ordinary = 0, polar = 0;
        double worst_s = 0, worst_deg = 0;
        while (std::getline(file, line)) {
            std::istringstream in(line);
            std::string word, time, kind;
            Position place;
            in >> word >> place.lon_deg >> place.lat_deg >> time >> kind;
            int y = 0, mo = 0, d = 0, h = 0, mi = 0;
            REQUIRE(std::sscanf(time.c_str(), "%d-%d-%dT%d:%dZ", &y, &mo, &d, &h, &mi) == 5);
            const UtcSeconds theirs = sys_days(year(y) / mo / d) + hours(h) + minutes(mi);
            if (std::abs(place.lat_deg) > 80) {
                // Here a minute is a few thousandths of a degree: the height is what can be compared.
                worst_deg = std::max(worst_deg, std::abs(sun_altitude_deg(place, theirs) + 0.833));
                ++polar;
                continue;
            }
            double nearest_s = 1e9;
            for (int shift = -1; shift <= 1; ++shift) {
                const SunTimes sun = sun_times(place, year_month_day(floor<days>(theirs) + days(shift)));
                const auto& ours = kind == "r" ? sun.rise : sun.set;
                if (ours)
                    nearest_s = std::min(nearest_s, std::abs(static_cast<double>((*ours - theirs).count())));
            }
            worst_s = std::max(worst_s, nearest_s);
            CHECK_MESSAGE(nearest_s <= k_minute_s, line);
            ++ordinary;
        }
        CHECK(ordinary == 2920);
        CHECK(polar == 68);
        CHECK(worst_deg < 0.01); // what NOAA promises
        MESSAGE(ordinary << " times, worst " << worst_s << " s; " << polar << " near the poles, worst height "
                         << worst_deg << " degrees");
    }
}
