#include "survey/arms.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace waywarden::survey {

double turn_rad(geo::Metres2 at, geo::Metres2 from, geo::Metres2 to) {
    const geo::Metres2 a = from - at, b = to - at;
    const double clockwise = std::atan2(-geo::cross(a, b), geo::dot(a, b));
    return clockwise < 0 ? clockwise + 2 * std::numbers::pi : clockwise;
}

bool lies_left(geo::Metres2 at, geo::Metres2 in, geo::Metres2 out, geo::Metres2 arm) {
    // Clockwise from where one came, everything past the way on is to the left.
    return turn_rad(at, in, arm) > turn_rad(at, in, out);
}

bool separates(geo::Metres2 at, geo::Metres2 in, geo::Metres2 out, geo::Metres2 arm, geo::Metres2 other_arm) {
    return lies_left(at, in, out, arm) != lies_left(at, in, out, other_arm);
}

double bend_rad(geo::Metres2 at, geo::Metres2 in, geo::Metres2 out) {
    return std::abs(turn_rad(at, in, out) - std::numbers::pi);
}

std::vector<map::NodeIndex> arms_of(const map::Way& way, map::NodeIndex node) {
    std::vector<map::NodeIndex> out;
    const auto add = [&](map::NodeIndex n) {
        if (n != node && std::find(out.begin(), out.end(), n) == out.end()) out.push_back(n);
    };
    for (std::size_t i = 0; i < way.nodes.size(); ++i) {
        if (way.nodes[i] != node) continue;
        if (i > 0) add(way.nodes[i - 1]);
        if (i + 1 < way.nodes.size()) add(way.nodes[i + 1]);
    }
    return out;
}

bool same_direction(geo::Metres2 at, geo::Metres2 a, geo::Metres2 b) {
    constexpr double k_same_rad = 1e-4;
    const double turn = turn_rad(at, a, b);
    return std::min(turn, 2 * std::numbers::pi - turn) < k_same_rad;
}

} // namespace waywarden::survey
