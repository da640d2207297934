#include "match/box.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace waywarden::match {

map::Box box_around(std::span<const geo::Position> places, double more_deg_of_latitude) {
    map::Box box{180, 90, -180, -90};
    for (const geo::Position p : places) {
        box.west_deg = std::min(box.west_deg, p.lon_deg);
        box.south_deg = std::min(box.south_deg, p.lat_deg);
        box.east_deg = std::max(box.east_deg, p.lon_deg);
        box.north_deg = std::max(box.north_deg, p.lat_deg);
    }
    if (box.east_deg - box.west_deg > 180) return {-180, -90, 180, 90};
    const double north_deg = more_deg_of_latitude;
    const double farthest_deg = std::min(89.0, std::max(std::abs(box.south_deg), std::abs(box.north_deg)));
    const double east_deg = north_deg / std::cos(farthest_deg * std::numbers::pi / 180);
    return {box.west_deg - east_deg, box.south_deg - north_deg, box.east_deg + east_deg,
            box.north_deg + north_deg};
}

geo::Position middle_of(const map::Box& box) {
    const bool across = box.east_deg - box.west_deg > 180;
    return {across ? 180 : (box.west_deg + box.east_deg) / 2, (box.south_deg + box.north_deg) / 2};
}

} // namespace waywarden::match
