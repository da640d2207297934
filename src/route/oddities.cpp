#include "route/formats.hpp"
#include "route/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace waywarden::route {

namespace {

constexpr double k_joined_m = 1;     // segments nearer than this meet
constexpr double k_jump_m = 2000;    // common practice, no source: nobody draws a leg that long on purpose
constexpr double k_straight_m = 300; // common practice, no source: longer than a field is wide
constexpr double k_elsewhere_m = 100'000, k_near_m = 20'000;

/// Within about a kilometre: a position rounded away is as missing as one at 0,0, and that is open sea.
bool at_null_island(geo::Position p) {
    return std::abs(p.lon_deg) < 0.01 && std::abs(p.lat_deg) < 0.01;
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

class Finder {
  public:
    explicit Finder(Route& route) : m_route(route), m_along(metres_along(route)) {}

    void find() {
        for (std::size_t s = 0; s < m_route.segments.size(); ++s) {
            if (s > 0) between(s);
            within(s);
        }
        if (m_route.read_as != "waypoints") waypoints();
        whole();
    }

  private:
    void add(OddityKind kind, double from_m, double to_m, double length_m, const RoutePoint& at,
             std::string text) {
        m_route.oddities.push_back(
            {kind, from_m, to_m, length_m, at.position, at.source_line, std::move(text)});
    }

    /// From the last point of the segment before to the first of this one.
    void between(std::size_t s) {
        const RoutePoint& before = m_route.segments[s - 1].points.back();
        const RoutePoint& after = m_route.segments[s].points.front();
        const double gap_m = geo::distance_m(before.position, after.position), at_m = m_along[s].front();
        if (gap_m > k_joined_m)
            add(OddityKind::gap, at_m, at_m, gap_m, after,
                fmt::format("The file breaks off here and goes on {} away; what lies between was not "
                            "drawn and was not checked.",
                            metres(gap_m)));
        if (looks_swapped(after.position, before.position))
            add(OddityKind::swapped, at_m, at_m, 0, after,
                "Latitude and longitude look exchanged from here on or up to here: with the two swapped "
                "the parts of the line would lie near each other.");
    }

    void within(std::size_t s) {
        const auto& line = m_route.segments[s].points;
        bool back = false; // from a swapped point to where the line was: the same oddity, told once
        for (std::size_t i = 0; i < line.size(); ++i) {
            if (at_null_island(line[i].position))
                add(OddityKind::null_island, m_along[s][i], m_along[s][i], 0, line[i],
                    "A point lies at latitude 0, longitude 0, in the sea off Africa: a position was missing "
                    "when the file was made.");
            if (i == 0) continue;
            back = !(back && geo::distance_m(line[i - 2].position, line[i].position) < k_near_m) && leg(s, i);
        }
    }

    /// From point i-1 to i; whether point i looks swapped.
    bool leg(std::size_t s, std::size_t i) {
        const auto& line = m_route.segments[s].points;
        const double from_m = m_along[s][i - 1], to_m = m_along[s][i], leg_m = to_m - from_m;
        if (leg_m > k_jump_m && looks_swapped(line[i].position, line[i - 1].position)) {
            add(OddityKind::swapped, from_m, to_m, leg_m, line[i],
                "Latitude and longitude of a point look exchanged: with the two swapped it would lie "
                "near its neighbour.");
            return true;
        }
        if (leg_m > k_jump_m)
            add(OddityKind::jump, from_m, to_m, leg_m, line[i - 1],
                fmt::format("The line jumps {} between two points; where the walkers mean to go between "
                            "them was not drawn.",
                            metres(leg_m)));
        else if (leg_m >= k_straight_m)
            add(OddityKind::straight, from_m, to_m, leg_m, line[i - 1],
                fmt::format("The line runs straight for {} without a point between.", metres(leg_m)));
        return false;
    }

    /// Waypoints and line that disagree: one of the two is exchanged, and the file does not tell which.
    void waypoints() {
        const geo::Position start = m_route.segments.front().points.front().position;
        for (const Waypoint& waypoint : m_route.waypoints)
            if (looks_swapped(waypoint.position, start))
                add(OddityKind::swapped, 0, 0, 0, {waypoint.position, {}, waypoint.source_line},
                    fmt::format("Latitude and longitude of the waypoint \"{}\", or of the whole line, look "
                                "exchanged: they fit together only with one of them swapped.",
                                clean_name(waypoint.name)));
    }

    void whole() {
        const RoutePoint& first = m_route.segments.front().points.front();
        if (m_route.segments.size() == 1 && m_route.segments.front().points.size() == 1)
            add(OddityKind::single_point, 0, 0, 0, first,
                "The route is a single point; there is nothing to walk.");
        else if (m_along.back().back() < k_joined_m)
            add(OddityKind::single_point, 0, 0, 0, first,
                "The route is shorter than a metre; there is nothing to walk.");
    }

    Route& m_route;
    std::vector<std::vector<double>> m_along;
};

} // namespace

void tell_areas_left_out(Route& route, std::size_t line) {
    route.oddities.push_back({OddityKind::several_kinds, 0, 0, 0,
                              route.segments.front().points.front().position, line,
                              "The file holds areas beside the line; only the line was read."});
}

void join_segments(Route& route) {
    std::vector<Segment> joined;
    for (Segment& next : route.segments) {
        const bool meets = !joined.empty() && geo::distance_m(joined.back().points.back().position,
                                                              next.points.front().position) <= k_joined_m;
        if (!meets) {
            joined.push_back(std::move(next));
            continue;
        }
        auto& line = joined.back().points;
        const bool same = line.back().position == next.points.front().position;
        line.insert(line.end(), next.points.begin() + (same ? 1 : 0), next.points.end());
    }
    route.segments = std::move(joined);
}

void find_oddities(Route& route) {
    Finder(route).find();
    std::stable_sort(route.oddities.begin(), route.oddities.end(),
                     [](const Oddity& a, const Oddity& b) { return a.from_m < b.from_m; });
}

} // namespace waywarden::route
