#include "match/match.hpp"

#include "match/line_model.hpp"
#include "match/walk.hpp"

#include <algorithm>
#include <cmath>

namespace waywarden::match {

namespace {

geo::Position middle_of(const route::Route& route) {
    geo::Position low{1e9, 1e9}, high{-1e9, -1e9};
    for (const auto& segment : route.segments)
        for (const auto& point : segment.points) {
            low = {std::min(low.lon_deg, point.position.lon_deg),
                   std::min(low.lat_deg, point.position.lat_deg)};
            high = {std::max(high.lon_deg, point.position.lon_deg),
                    std::max(high.lat_deg, point.position.lat_deg)};
        }
    if (high.lon_deg - low.lon_deg > 180) return {180, (low.lat_deg + high.lat_deg) / 2};
    return {(low.lon_deg + high.lon_deg) / 2, (low.lat_deg + high.lat_deg) / 2};
}

constexpr int k_most_passes = 4;

/// Solves, learns the line's error from the answer, and solves again until it holds still.
Solution solve_with_own_error(const Network& network, const DrawnLine& drawn, ErrorModel& model,
                              std::vector<Observation>& line) {
    for (int pass = 1;; ++pass) {
        line = observe(drawn, model.sigma_m);
        const bool may_be_last = pass > 1;
        Solution solution = solve(network, line, model, may_be_last);
        const ErrorModel next = estimate(network, line, solution, model);
        const bool settled = std::abs(next.sigma_m - model.sigma_m) < 0.15 * model.sigma_m &&
                             (next.even_step_m > 0) == (model.even_step_m > 0);
        if (may_be_last && (settled || pass == k_most_passes)) return solution;
        model = next;
    }
}

} // namespace

Trace match(const route::Route& route, const map::Ground& ground) {
    Trace trace;
    const auto along = route::metres_along(route);
    const MatchPlane plane(middle_of(route));
    const Network network(ground, plane);
    double squares = 0, weight = 0;
    for (std::size_t i = 0; i < route.segments.size(); ++i) {
        const DrawnLine drawn = drawn_line(route.segments[i], along[i], plane);
        if (!along[i].empty()) trace.length_m = along[i].back();
        if (drawn.points.size() < 2) continue;
        ErrorModel model = first_guess(network, drawn);
        std::vector<Observation> line;
        const Solution solution = solve_with_own_error(network, drawn, model, line);
        append_walk(network, plane, drawn, line, solution, model, trace);
        const double length_m = drawn.at_m.back() - drawn.at_m.front();
        squares += length_m * model.sigma_m * model.sigma_m;
        weight += length_m;
    }
    if (weight > 0) trace.error_m = std::sqrt(squares / weight);
    return trace;
}

} // namespace waywarden::match
