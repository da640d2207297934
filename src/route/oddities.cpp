#include "route/formats.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace waywarden::route {

namespace {

constexpr double k_joined_m = 1;     // segments nearer than this are one line
constexpr double k_jump_m = 2000;    // common practice, no source: nobody draws a leg that long on purpose
constexpr double k_straight_m = 300; // common practice, no source: longer than a field is wide
constexpr double k_elsewhere_m = 100'000, k_near_m = 20'000;

bool at_null_island(geo::Position p) {
    return std::abs(p.lon_deg) < 1e-6 && std::abs(p.lat_deg) < 1e-6;
}

std::string metres(double m) {
    return m >= 1000 ? fmt::format("{:.1f} km", m / 1000) : fmt::format("{:.0f} m", m);
}

/// A point that lies far from its neighbour but near it once latitude and longitude are exchanged.
bool looks_swapped(geo::Position p, geo::Position neighbour) {
    if (std::abs(p.lon_deg) > 90) return false;
    return geo::distance_m(p, neighbour) > k_elsewhere_m &&
           geo::distance_m({p.lat_deg, p.lon_deg}, neighbour) < k_near_m;
}

} // namespace

void find_oddities(Route& route) {
    const auto along = metres_along(route);
    const auto add = [&](OddityKind kind, double from_m, double to_m, double length_m, const RoutePoint& at,
                         std::string text) {
        route.oddities.push_back(
            {kind, from_m, to_m, length_m, at.position, at.source_line, std::move(text)});
    };
    const RoutePoint* before = nullptr;
    std::size_t points = 0;
    for (std::size_t s = 0; s < route.segments.size(); ++s) {
        const auto& line = route.segments[s].points;
        if (before) {
            const double gap_m = geo::distance_m(before->position, line.front().position);
            if (gap_m > k_joined_m)
                add(OddityKind::gap, along[s].front(), along[s].front(), gap_m, line.front(),
                    fmt::format("The file breaks off here and goes on {} away; what lies between was not "
                                "drawn and was not checked.",
                                metres(gap_m)));
        }
        bool after_swapped = false;
        for (std::size_t i = 0; i < line.size(); ++i, ++points) {
            if (at_null_island(line[i].position))
                add(OddityKind::null_island, along[s][i], along[s][i], 0, line[i],
                    "A point lies at latitude 0, longitude 0, in the sea off Africa: a position was missing "
                    "when the file was made.");
            if (i == 0) continue;
            const double leg_m = along[s][i] - along[s][i - 1];
            if (after_swapped && leg_m > k_jump_m) { // back from it: the same oddity
                after_swapped = false;
                continue;
            }
            after_swapped = leg_m > k_jump_m && looks_swapped(line[i].position, line[i - 1].position);
            if (after_swapped)
                add(OddityKind::swapped, along[s][i - 1], along[s][i], leg_m, line[i],
                    "Latitude and longitude of a point look exchanged: with the two swapped it would lie "
                    "near its neighbour.");
            else if (leg_m > k_jump_m)
                add(OddityKind::jump, along[s][i - 1], along[s][i], leg_m, line[i - 1],
                    fmt::format("The line jumps {} between two points; where the walkers mean to go between "
                                "them was not drawn.",
                                metres(leg_m)));
            else if (leg_m >= k_straight_m)
                add(OddityKind::straight, along[s][i - 1], along[s][i], leg_m, line[i - 1],
                    fmt::format("The line runs straight for {} without a point between.", metres(leg_m)));
        }
        before = &line.back();
    }
    if (points == 1)
        add(OddityKind::single_point, 0, 0, 0, route.segments.front().points.front(),
            "The route is a single point; there is nothing to walk.");
    std::stable_sort(route.oddities.begin(), route.oddities.end(),
                     [](const Oddity& a, const Oddity& b) { return a.from_m < b.from_m; });
}

} // namespace waywarden::route
