#include "geo/sun.hpp"

#include <cmath>
#include <numbers>

namespace waywarden::geo {

namespace {

using namespace std::chrono;

constexpr double k_rise_deg = -0.833; // 34' refraction and 16' semidiameter, USNO
constexpr double k_civil_deg = -6;
constexpr double k_day_s = 86400;

double rad(double deg) {
    return deg * std::numbers::pi / 180;
}
double deg(double rad) {
    return rad * 180 / std::numbers::pi;
}

struct Sun {
    double declination_deg, equation_of_time_min;
};

/// Source: the NOAA spreadsheet "Calculations - Day", columns G to V, in its order.
Sun sun_at(double unix_s) {
    const double t = (unix_s / k_day_s - 10957.5) / 36525; // Julian centuries from 2000-01-01T12:00
    const double mean_long = std::fmod(280.46646 + t * (36000.76983 + t * 0.0003032), 360);
    const double anomaly = rad(357.52911 + t * (35999.05029 - 0.0001537 * t));
    const double e = 0.016708634 - t * (0.000042037 + 0.0000001267 * t);
    const double centre = std::sin(anomaly) * (1.914602 - t * (0.004817 + 0.000014 * t)) +
                          std::sin(2 * anomaly) * (0.019993 - 0.000101 * t) +
                          std::sin(3 * anomaly) * 0.000289;
    const double node = rad(125.04 - 1934.136 * t);
    const double apparent = rad(mean_long + centre - 0.00569 - 0.00478 * std::sin(node));
    const double mean_obliquity =
        23 + (26 + (21.448 - t * (46.815 + t * (0.00059 - t * 0.001813))) / 60) / 60;
    const double obliquity = rad(mean_obliquity + 0.00256 * std::cos(node));
    const double y = std::pow(std::tan(obliquity / 2), 2);
    const double l = rad(mean_long);
    const double equation = y * std::sin(2 * l) - 2 * e * std::sin(anomaly) +
                            4 * e * y * std::sin(anomaly) * std::cos(2 * l) - 0.5 * y * y * std::sin(4 * l) -
                            1.25 * e * e * std::sin(2 * anomaly);
    return {deg(std::asin(std::sin(obliquity) * std::sin(apparent))), 4 * deg(equation)};
}

double altitude_deg(Position place, double unix_s) {
    const Sun sun = sun_at(unix_s);
    const double utc_min = std::fmod(unix_s, k_day_s) / 60;
    const double hour_angle = rad((utc_min + sun.equation_of_time_min) / 4 + place.lon_deg - 180);
    const double lat = rad(place.lat_deg), declination = rad(sun.declination_deg);
    return deg(std::asin(std::sin(lat) * std::sin(declination) +
                         std::cos(lat) * std::cos(declination) * std::cos(hour_angle)));
}

/// The instant between `low` and `high` at which the sun passes the height, by halving: what NOAA's way of
/// going back into the formula with its own result converges to.
double passing_s(Position place, double height_deg, double low_s, double high_s) {
    const bool first = altitude_deg(place, low_s) < height_deg;
    while (high_s - low_s > 0.5) {
        const double middle_s = (low_s + high_s) / 2;
        ((altitude_deg(place, middle_s) < height_deg) == first ? low_s : high_s) = middle_s;
    }
    return (low_s + high_s) / 2;
}

struct Passings {
    std::optional<UtcSeconds> up, down;
};

Passings passings(Position place, double height_deg, double noon_s) {
    Passings out;
    const double ends[] = {noon_s - k_day_s / 2, noon_s, noon_s + k_day_s / 2};
    for (int half = 0; half < 2; ++half) {
        const bool below_first = altitude_deg(place, ends[half]) < height_deg;
        const bool below_last = altitude_deg(place, ends[half + 1]) < height_deg;
        if (below_first == below_last) continue;
        const double at_s = passing_s(place, height_deg, ends[half], ends[half + 1]);
        (below_first ? out.up : out.down) = UtcSeconds(seconds(std::llround(at_s)));
    }
    return out;
}

} // namespace

SunTimes sun_times(Position place, year_month_day date) {
    const double midday_s = static_cast<double>(sys_days(date).time_since_epoch().count()) * k_day_s +
                            k_day_s / 2 - place.lon_deg * 240;
    const double noon_s = midday_s - sun_at(midday_s).equation_of_time_min * 60;
    const Passings horizon = passings(place, k_rise_deg, noon_s);
    const Passings civil = passings(place, k_civil_deg, noon_s);
    return {civil.up, horizon.up, horizon.down, civil.down};
}

double sun_altitude_deg(Position place, UtcSeconds at) {
    return altitude_deg(place, static_cast<double>(at.time_since_epoch().count()));
}

} // namespace waywarden::geo
