#include "survey/road_time.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace waywarden::survey {

namespace {

constexpr double k_walk_ms = 1.07, k_start_s = 3, k_row_s = 2, k_front_ft = 8;
constexpr int k_most_in_file = 10;
constexpr double k_spread_ft = 16;
constexpr double k_gravity_ms2 = 9.81, k_kmh_per_ms = 3.6;
constexpr double k_narrow_m = 5; ///< two cars do not pass at speed

int rows_of(int walkers, double front_ft) {
    return static_cast<int>(k_front_ft * (walkers - 1) / front_ft) + 1;
}

double time_of_rows_s(double width_m, int rows) {
    return width_m / k_walk_ms + k_start_s + k_row_s * (rows - 1);
}

std::string_view base_class(std::string_view highway) {
    constexpr std::string_view k_link = "_link";
    return highway.ends_with(k_link) ? highway.substr(0, highway.size() - k_link.size()) : highway;
}

bool is_a_road(std::string_view highway) {
    return highway == "motorway" || highway == "trunk" || highway == "primary";
}

} // namespace

double cross_time_s(double width_m, int walkers, double front_ft) {
    return time_of_rows_s(width_m, rows_of(std::max(walkers, 1), front_ft));
}

double group_cross_time_s(double width_m, int walkers) {
    const int count = std::max(walkers, 1);
    return time_of_rows_s(width_m, std::max(std::min(count, k_most_in_file), rows_of(count, k_spread_ft)));
}

double stopping_sight_m(double speed_kmh, double reaction_s, double deceleration_g) {
    const double v = speed_kmh / k_kmh_per_ms;
    return v * reaction_s + v * v / (2 * deceleration_g * k_gravity_ms2);
}

double stopping_sight_m(double speed_kmh) {
    return stopping_sight_m(speed_kmh, 2, 0.375);
}

double sight_need_m(double speed_kmh, double cross_time_s) {
    return speed_kmh / k_kmh_per_ms * cross_time_s;
}

RoadWidth road_width(std::optional<double> width_m, std::optional<int> lanes, std::string_view highway,
                     bool oneway) {
    const std::string_view road = base_class(highway);
    if (width_m && *width_m > 0) return {*width_m, "recorded"};
    if (lanes && *lanes > 0) return {*lanes * (is_a_road(road) ? 3.65 : 3.0), "lanes"};
    const double both_ways_m = is_a_road(road)          ? 7.3
                               : road == "secondary"    ? 6.5
                               : road == "tertiary"     ? 6
                               : road == "residential"  ? 5.5
                               : road == "unclassified" ? 4.8
                                                        : 3.5;
    if (!oneway) return {both_ways_m, "class"};
    // One side of a dual carriageway has two lanes.
    return {road == "motorway" || road == "trunk" ? both_ways_m : std::max(both_ways_m / 2, 3.5), "class"};
}

std::optional<double> sight_speed_kmh(std::optional<double> limit_kmh, bool limit_recorded,
                                      std::optional<double> width_m, std::optional<int> lanes,
                                      std::string_view highway) {
    if (!limit_kmh) return std::nullopt;
    static constexpr std::array<std::string_view, 6> k_lanes{"unclassified", "residential", "living_street",
                                                             "service",      "road",        "track"};
    const bool narrow = width_m ? *width_m < k_narrow_m : lanes && *lanes == 1;
    const bool wide = width_m ? *width_m >= k_narrow_m : lanes && *lanes >= 2;
    const bool lane = std::find(k_lanes.begin(), k_lanes.end(), highway) != k_lanes.end();
    if (narrow || (lane && !limit_recorded && !wide)) return std::min(*limit_kmh, k_lane_speed_kmh);
    return limit_kmh;
}

} // namespace waywarden::survey
