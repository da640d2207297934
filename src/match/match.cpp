#include "match/match.hpp"

#include "match/beside.hpp"
#include "match/box.hpp"
#include "match/line_model.hpp"
#include "match/walk.hpp"

#include <cmath>

namespace waywarden::match {

namespace {

/// The box around a route and 1 km more.
map::Box box_of(const route::Route& route) {
    std::vector<geo::Position> places;
    for (const auto& segment : route.segments)
        for (const auto& point : segment.points)
            places.push_back(point.position);
    return box_around(places, 0.009);
}

constexpr int k_most_passes = 4;
constexpr std::size_t k_enough_to_learn = 400; // observations; more would not change the estimate
constexpr std::size_t k_windows = 4;

/// Long lines are learnt from a few windows spread over them.
std::vector<std::vector<Observation>> windows_of(const std::vector<Observation>& line) {
    if (line.size() <= k_enough_to_learn) return {line};
    std::vector<std::vector<Observation>> windows;
    const std::size_t size = k_enough_to_learn / k_windows;
    for (std::size_t i = 0; i < k_windows; ++i) {
        const auto begin =
            line.begin() + static_cast<std::ptrdiff_t>(i * (line.size() - size) / (k_windows - 1));
        windows.emplace_back(begin, begin + static_cast<std::ptrdiff_t>(size));
    }
    return windows;
}

bool alike(const ErrorModel& a, const ErrorModel& b) {
    return std::abs(a.sigma_m - b.sigma_m) < 0.08 * b.sigma_m && (a.even_step_m > 0) == (b.even_step_m > 0);
}

double probability_of_open_ground(const std::vector<WayShare>& shares) {
    for (const WayShare& share : shares)
        if (share.way == WayShare::none) return share.probability;
    return 0;
}

constexpr double k_short_run_m = 80; // detection of open ground wants 60 to 80 m of steady separation

/// The likeliest single chain may go over open ground for a little although the chains over ways, taken
/// together, are likelier: there are many places on a way and one beside it. Such points are to be on a way.
/// Whether there are any.
bool rule_out_unlikely_ground(std::vector<Observation>& line, const Solution& solution) {
    bool any = false;
    for (std::size_t k = 0; k < line.size(); ++k) {
        if (solution.chosen[k].on_network) continue;
        std::size_t end = k;
        double sum = 0;
        for (; end < line.size() && !solution.chosen[end].on_network; ++end)
            sum += probability_of_open_ground(solution.shares[end]);
        const bool unlikely =
            sum < 0.5 * static_cast<double>(end - k) && line[end - 1].at_m - line[k].at_m < k_short_run_m;
        for (; k < end; ++k)
            line[k].on_network = unlikely;
        any |= unlikely;
    }
    return any;
}

/// Solves, learns the line's error from the answer, and solves again until the error holds still.
Solution solve_with_own_error(const Network& network, const DrawnLine& drawn, ErrorModel& model,
                              std::vector<Observation>& line) {
    for (int pass = 1;; ++pass) {
        line = observe(drawn, model.sigma_m);
        const auto windows = windows_of(line);
        const bool may_be_last = pass > 1 && windows.size() == 1;
        Solution solution;
        ErrorEstimate estimate(network);
        for (const auto& window : windows) {
            solution = solve(network, window, model, may_be_last);
            estimate.add(window, solution);
        }
        const ErrorModel next = estimate.model(model);
        const bool done = pass == k_most_passes || (pass > 1 && alike(next, model));
        if (done) {
            if (windows.size() > 1) solution = solve(network, line, model, true);
            return rule_out_unlikely_ground(line, solution) ? solve(network, line, model, true) : solution;
        }
        model = next;
    }
}

} // namespace

Trace match(const route::Route& route, const map::Ground& ground) {
    Trace trace;
    const auto along = route::metres_along(route);
    const map::Box box = box_of(route);
    const MatchPlane plane(middle_of(box));
    const Network network(ground, plane, box);
    double squares = 0, weight = 0;
    for (std::size_t i = 0; i < route.segments.size(); ++i) {
        const DrawnLine drawn = drawn_line(route.segments[i], along[i], plane);
        if (!along[i].empty()) trace.length_m = along[i].back();
        if (drawn.points.size() < 2) continue;
        ErrorModel model = first_guess(network, drawn);
        std::vector<Observation> line;
        const Solution solution = look_beside({ground, plane, network}, model, line,
                                              solve_with_own_error(network, drawn, model, line));
        append_walk(network, plane, drawn, line, solution, model, trace);
        const double length_m = drawn.at_m.back() - drawn.at_m.front();
        squares += length_m * model.sigma_m * model.sigma_m;
        weight += length_m;
    }
    if (weight > 0) trace.error_m = std::sqrt(squares / weight);
    return trace;
}

} // namespace waywarden::match
