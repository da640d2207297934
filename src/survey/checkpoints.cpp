#include "survey/checkpoints.hpp"

#include "error.hpp"
#include "survey/along.hpp"
#include "survey/survey.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <limits>

namespace waywarden::survey {

namespace {

constexpr double k_one_pass_m = 200; ///< of walk between two passes of a place
constexpr double k_end_m = 60;       ///< of walk from an end: a place there is the end
constexpr double k_as_near_m = 10;   ///< two passes this equal are equally near: both ways along one lane
constexpr double k_same_m = 1;       ///< of walk between checkpoints that are one

/// Where the line comes near a place.
struct Pass {
    double at_m = 0, aside_m = 0;
};

double length_of(const route::Route& route) {
    return Along(route).length_m();
}

/// Every time the line comes within `within_m` of a place, in order; where it never does, the one place where
/// it comes nearest.
std::vector<Pass> passes(const route::Route& route, const std::vector<std::vector<double>>& metres,
                         const NamedPlace& place) {
    const geo::LocalFrame frame(place.position);
    std::vector<Pass> out;
    Pass nearest{0, std::numeric_limits<double>::infinity()};
    double near_until_m = -std::numeric_limits<double>::infinity();
    for (std::size_t s = 0; s < route.segments.size(); ++s) {
        const auto& points = route.segments[s].points;
        for (std::size_t i = 0; i < points.size(); ++i) {
            const std::size_t before = i == 0 ? 0 : i - 1; // a segment of one point is a place too
            const auto here = geo::nearest_on_segment({}, frame.to_plane(points[before].position),
                                                      frame.to_plane(points[i].position));
            const double from_m = metres[s][before], to_m = metres[s][i];
            const Pass pass{from_m + here.fraction * (to_m - from_m), here.distance_m};
            if (pass.aside_m < nearest.aside_m) nearest = pass;
            if (pass.aside_m > place.within_m) continue;
            if (out.empty() || pass.at_m - near_until_m > k_one_pass_m)
                out.push_back(pass);
            else if (pass.aside_m < out.back().aside_m)
                out.back() = pass;
            near_until_m = std::max(near_until_m, pass.at_m);
        }
    }
    if (out.empty()) out.push_back(nearest);
    return out;
}

/// A place on the line with the pass that was chosen.
struct Placed {
    const NamedPlace* place = nullptr;
    std::vector<Pass> passes;
    std::size_t chosen = 0;
    double at_m() const { return passes[chosen].at_m; }
};

/// How much a pass is worse than the nearest of its place.
double worse_m(const Placed& placed, std::size_t pass) {
    double best = std::numeric_limits<double>::infinity();
    for (const Pass& one : placed.passes)
        best = std::min(best, one.aside_m);
    return std::max(0.0, placed.passes[pass].aside_m - best - k_as_near_m);
}

/// Chooses passes so that the places follow each other on the walk as they do in the list, each `apart_m` and
/// more after the one before (less than nothing lets two names of one place stand either way); the nearest
/// that can be had so, then the earliest. False where that cannot be.
bool choose_in_order(std::vector<Placed>& all, double apart_m) {
    constexpr double k_no_way = std::numeric_limits<double>::infinity();
    std::vector<std::vector<double>> cost(all.size());
    std::vector<std::vector<std::size_t>> from(all.size());
    for (std::size_t i = 0; i < all.size(); ++i)
        for (std::size_t p = 0; p < all[i].passes.size(); ++p) {
            double best = i == 0 ? 0 : k_no_way;
            std::size_t best_from = 0;
            for (std::size_t q = 0; i > 0 && q < all[i - 1].passes.size(); ++q)
                if (all[i - 1].passes[q].at_m + apart_m <= all[i].passes[p].at_m && cost[i - 1][q] < best) {
                    best = cost[i - 1][q];
                    best_from = q;
                }
            cost[i].push_back(best + worse_m(all[i], p));
            from[i].push_back(best_from);
        }
    if (all.empty()) return true;
    const auto& last = cost.back();
    auto chosen = static_cast<std::size_t>(std::min_element(last.begin(), last.end()) - last.begin());
    if (last[chosen] == k_no_way) return false;
    for (std::size_t i = all.size(); i-- > 0;) {
        all[i].chosen = chosen;
        chosen = from[i][chosen];
    }
    return true;
}

void choose_nearest(std::vector<Placed>& all) {
    for (Placed& one : all) {
        for (std::size_t p = one.passes.size(); p-- > 0;)
            if (worse_m(one, p) <= worse_m(one, one.chosen)) one.chosen = p;
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const Placed& a, const Placed& b) { return a.at_m() < b.at_m(); });
}

std::string km(double metres) {
    return fmt::format("{:.1f}", metres / 1000);
}

/// A place that the line passes again is a place where two legs might have been told apart.
void tell_of_other_passes(const Placed& one, double length_m, std::vector<std::string>& remarks) {
    std::vector<std::string> others;
    for (std::size_t p = 0; p < one.passes.size(); ++p)
        if (p != one.chosen && one.passes[p].at_m > k_end_m && one.passes[p].at_m < length_m - k_end_m)
            others.push_back(km(one.passes[p].at_m));
    if (others.empty()) return;
    remarks.push_back(fmt::format("The line passes {} more than once; it counts at km {}, not at km {}.",
                                  one.place->name, km(one.at_m()), fmt::join(others, ", ")));
}

/// The name of a place for an end of the walk that it is at; also one that is passed there and chosen
/// elsewhere.
const NamedPlace* place_at_end(const std::vector<Placed>& all, double end_m) {
    const NamedPlace* passed = nullptr;
    for (const Placed& one : all)
        for (std::size_t p = 0; p < one.passes.size(); ++p) {
            if (std::abs(one.passes[p].at_m - end_m) > k_end_m) continue;
            if (p == one.chosen) return one.place;
            if (!passed) passed = one.place;
        }
    return passed;
}

Checkpoint end_of(const route::Route& route, const std::vector<Placed>& all, double end_m, const char* name) {
    const geo::Position position = position_at(route, end_m);
    const NamedPlace* place = place_at_end(all, end_m);
    return {place ? place->name : name, position, end_m,
            place ? geo::distance_m(place->position, position) : 0};
}

std::vector<Placed> placed_on_line(const route::Route& route, std::span<const NamedPlace> places,
                                   geo::GridSystem grid, std::vector<std::string>& remarks) {
    const auto metres = route::metres_along(route);
    std::vector<Placed> out;
    for (const NamedPlace& place : places) {
        Placed one{&place, passes(route, metres, place)};
        if (one.passes.front().aside_m <= place.within_m)
            out.push_back(std::move(one));
        else
            remarks.push_back(fmt::format("{} ({}) is {:.0f} m from the line: no leg begins or ends there.",
                                          place.name, geo::grid_reference(place.position, grid),
                                          one.passes.front().aside_m));
    }
    return out;
}

std::string trimmed_number(double value) {
    std::string out = fmt::format("{:.2f}", value);
    out.erase(out.find_last_not_of('0') + 1);
    if (out.ends_with('.')) out.pop_back();
    return out;
}

} // namespace

CheckpointList checkpoints_at(const route::Route& route, std::span<const NamedPlace> places,
                              geo::GridSystem grid) {
    CheckpointList out;
    if (route.segments.empty()) return out;
    const double length_m = length_of(route);
    std::vector<Placed> all = placed_on_line(route, places, grid, out.remarks);
    if (!choose_in_order(all, k_same_m) && !choose_in_order(all, -k_same_m)) {
        choose_nearest(all);
        out.remarks.push_back("The checkpoints are not given in the order of the walk; they are taken in the "
                              "order of the line.");
    }
    out.checkpoints.push_back(end_of(route, all, 0, "start"));
    for (const Placed& one : all) {
        tell_of_other_passes(one, length_m, out.remarks);
        const Pass& pass = one.passes[one.chosen];
        if (pass.at_m <= k_end_m || pass.at_m >= length_m - k_end_m) continue;
        Checkpoint& last = out.checkpoints.back();
        if (out.checkpoints.size() > 1 && pass.at_m - last.at_m < k_same_m) {
            if (last.name != one.place->name) last.name += " / " + one.place->name;
        } else {
            out.checkpoints.push_back({one.place->name, one.place->position, pass.at_m, pass.aside_m});
        }
    }
    if (out.checkpoints.size() == 1)
        out.checkpoints.clear();
    else
        out.checkpoints.push_back(end_of(route, all, length_m, "finish"));
    return out;
}

CheckpointList checkpoints_of_file(const route::Route& route, geo::GridSystem grid) {
    std::vector<NamedPlace> places;
    const bool line_of_waypoints = route.read_as == "waypoints";
    for (std::size_t i = 0; i < route.waypoints.size(); ++i) {
        const route::Waypoint& one = route.waypoints[i];
        if (one.name.empty() && line_of_waypoints) continue;
        places.push_back({one.name.empty() ? fmt::format("waypoint {}", i + 1) : one.name, one.position});
    }
    CheckpointList out = checkpoints_at(route, places, grid);
    out.from = "waypoints of the file";
    return out;
}

CheckpointList checkpoints_every(const route::Route& route, const LegSpacing& spacing) {
    CheckpointList out;
    const Along along(route);
    const double length_m = along.length_m();
    if (length_m < k_same_m) return out;
    out.from = fmt::format("every {} {}", trimmed_number(spacing.every_m / spacing.unit_m), spacing.unit);
    out.checkpoints.push_back({"start", along.at(0), 0, 0});
    for (int i = 1; i * spacing.every_m < length_m - k_same_m; ++i) {
        const double at_m = i * spacing.every_m;
        out.checkpoints.push_back({fmt::format("{} {}", trimmed_number(at_m / spacing.unit_m), spacing.unit),
                                   along.at(at_m), at_m, 0});
    }
    out.checkpoints.push_back({"finish", along.at(length_m), length_m, 0});
    return out;
}

LegSpacing read_leg_spacing(const std::string& text) {
    constexpr std::string_view k_key = "every=";
    const auto refuse = [&](const std::string& why) {
        throw ArgumentError(
            fmt::format("--legs {}: {}; write every=2km, every=1500m or every=1mi", text, why));
    };
    if (!text.starts_with(k_key)) refuse("does not begin with every=");
    double value = 0;
    const char* begin = text.data() + k_key.size();
    const char* end = text.data() + text.size();
    const auto read = std::from_chars(begin, end, value, std::chars_format::fixed);
    if (read.ec != std::errc() || !(value > 0)) refuse("has no length above 0 after every=");
    LegSpacing out;
    out.unit = std::string(read.ptr, end);
    if (out.unit == "km")
        out.unit_m = 1000;
    else if (out.unit == "m")
        out.unit_m = 1;
    else if (out.unit == "mi")
        out.unit_m = 1609.344; // international yard and pound agreement of 1959
    else
        refuse(out.unit.empty() ? "has no unit" : fmt::format("\"{}\" is no unit known here", out.unit));
    out.every_m = value * out.unit_m;
    if (!(out.every_m >= 100 && out.every_m <= 100'000)) refuse("a leg is 100 m to 100 km long");
    return out;
}

} // namespace waywarden::survey
