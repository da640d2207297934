#include "survey/heights.hpp"

#include "survey/height_model.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

namespace waywarden::survey {

namespace {

constexpr double k_step_m = 10;
constexpr double k_apart_m =
    300; ///< between two points with heights; what is between farther ones nobody knows
constexpr double k_joined_m = 50;      ///< segments that begin so near the end of the one before run on
constexpr double k_dead_band_m = 5;    // this and the smoothing: common practice, no source
constexpr std::size_t k_each_side = 2; ///< steps in the moving average: 5 of 10 m
constexpr double k_piece_m = 50;

/// Steps [first, last) that have a height each and no gap of the drawn line between them.
struct Run {
    std::size_t first = 0, last = 0;
};

struct Point {
    route::RoutePoint drawn;
    double at_m = 0;
    bool after_gap = false;
};

std::vector<Point> points_of(const route::Route& route) {
    std::vector<Point> out;
    const auto metres = route::metres_along(route);
    for (std::size_t s = 0; s < route.segments.size(); ++s) {
        const auto& points = route.segments[s].points;
        for (std::size_t i = 0; i < points.size(); ++i) {
            const bool gap = i == 0 && !out.empty() &&
                             geo::distance_m(out.back().drawn.position, points[i].position) > k_joined_m;
            out.push_back({points[i], metres[s][i], gap});
        }
    }
    return out;
}

/// A place on the line and the height that its neighbours in the file give it.
struct Place {
    geo::Position position;
    std::optional<double> elevation_m;
};

Place between(const Point& a, const Point& b, double at_m) {
    const double apart_m = b.at_m - a.at_m;
    const double share = apart_m > 0 ? std::clamp((at_m - a.at_m) / apart_m, 0.0, 1.0) : 1;
    const auto mix = [&](double x, double y) { return x + share * (y - x); };
    const route::RoutePoint &p = a.drawn, &q = b.drawn;
    Place out{{mix(p.position.lon_deg, q.position.lon_deg), mix(p.position.lat_deg, q.position.lat_deg)}, {}};
    if (p.elevation_m && q.elevation_m && apart_m <= k_apart_m)
        out.elevation_m = mix(*p.elevation_m, *q.elevation_m);
    return out;
}

using HeightAt = std::function<std::optional<double>(const Place&)>;

/// The mean over as many steps before as after, so that an even slope stays what it is to its ends.
void smooth(const Run& run, std::vector<std::optional<double>>& height_m) {
    const std::vector<std::optional<double>> raw(height_m);
    for (std::size_t i = run.first; i < run.last; ++i) {
        const std::size_t reach = std::min({k_each_side, i - run.first, run.last - 1 - i});
        double sum = 0;
        for (std::size_t k = i - reach; k <= i + reach; ++k)
            sum += *raw[k];
        height_m[i] = sum / static_cast<double>(2 * reach + 1);
    }
}

/// Writes what is climbed and descended at each step of a run.
class Counter {
  public:
    explicit Counter(HeightLine& line) : m_line(line) {}

    void count(const Run& run) {
        const std::vector<std::size_t> turns = turns_of(run);
        for (std::size_t t = 0; t + 1 < turns.size(); ++t)
            between(turns[t], turns[t + 1]);
    }

  private:
    double height(std::size_t i) const { return *m_line.height_m[i]; }

    /// Lowest and highest places in turn, each farther from the one before it than the dead band.
    std::vector<std::size_t> turns_of(const Run& run) const {
        std::vector<std::size_t> out;
        std::size_t low = run.first, high = run.first;
        int going = 0; ///< 1 up, -1 down, 0 not yet known
        for (std::size_t i = run.first; i < run.last; ++i) {
            if (height(i) < height(low)) low = i;
            if (height(i) > height(high)) high = i;
            if (going >= 0 && height(high) - height(i) > k_dead_band_m) {
                out.push_back(high);
                going = -1;
                low = i;
            } else if (going <= 0 && height(i) - height(low) > k_dead_band_m) {
                out.push_back(low);
                going = 1;
                high = i;
            }
        }
        if (going != 0) out.push_back(going > 0 ? high : low);
        return out;
    }

    /// From one turn to the next: each step counts as far as it goes beyond all before it.
    void between(std::size_t from, std::size_t to) {
        const bool up = height(to) > height(from);
        std::vector<double>& counted = up ? m_line.ascent_m : m_line.descent_m;
        double reached = 0;
        for (std::size_t i = from + 1; i <= to; ++i) {
            const double gone = up ? height(i) - height(from) : height(from) - height(i);
            counted[i] += std::max(gone - reached, 0.0);
            reached = std::max(reached, gone);
        }
    }

    HeightLine& m_line;
};

void add_up(std::vector<double>& steps) {
    for (std::size_t i = 1; i < steps.size(); ++i)
        steps[i] += steps[i - 1];
}

double at_step(const HeightLine& line, std::size_t step) {
    return std::min(static_cast<double>(step) * line.step_m, line.length_m);
}

/// Fills in the heights as they are, and gives the steps that come after a gap.
std::vector<bool> take_heights(const std::vector<Point>& points, const HeightAt& height_at,
                               HeightLine& line) {
    const std::size_t steps = static_cast<std::size_t>(std::ceil(line.length_m / line.step_m)) + 1;
    std::vector<bool> after_gap(steps);
    std::size_t next = 0;
    for (std::size_t step = 0; step < steps; ++step) {
        const double at_m = at_step(line, step);
        while (next + 1 < points.size() && points[next].at_m < at_m) {
            ++next;
            if (points[next].after_gap) after_gap[step] = true;
        }
        const Point& before = points[next == 0 ? 0 : next - 1];
        line.height_m.push_back(height_at(between(before, points[next], at_m)));
    }
    return after_gap;
}

std::vector<Run> runs_of(const HeightLine& line, const std::vector<bool>& after_gap) {
    std::vector<Run> out;
    for (std::size_t i = 0; i < line.height_m.size(); ++i) {
        if (!line.height_m[i]) continue;
        if (i == 0 || after_gap[i] || !line.height_m[i - 1]) out.push_back({i, i});
        out.back().last = i + 1;
    }
    return out;
}

HeightLine heights_by(const std::vector<Point>& points, const HeightAt& height_at) {
    HeightLine line;
    line.step_m = k_step_m;
    if (points.empty()) return line;
    line.length_m = points.back().at_m;
    const std::vector<bool> after_gap = take_heights(points, height_at, line);
    line.ascent_m.resize(line.height_m.size());
    line.descent_m.resize(line.height_m.size());
    for (const Run& run : runs_of(line, after_gap)) {
        smooth(run, line.height_m);
        Counter(line).count(run);
    }
    add_up(line.ascent_m);
    add_up(line.descent_m);
    return line;
}

/// A file that gives one height for all its points was filled in by a program; says so and takes them out.
std::string distrust(std::vector<Point>& points) {
    std::vector<double> known;
    for (const Point& point : points)
        if (point.drawn.elevation_m) known.push_back(*point.drawn.elevation_m);
    if (known.size() < 2) return "";
    const auto [low, high] = std::minmax_element(known.begin(), known.end());
    if (*low != *high) return "";
    for (Point& point : points)
        point.drawn.elevation_m.reset();
    return fmt::format("Every elevation in the file is {:g} m: taken as not known.", known.front());
}

void name_source(HeightLine& line, const std::string& source) {
    const double known = share_known(line);
    if (known == 0) return;
    line.words = fmt::format("{}, smoothed over 50 m; rises and falls under 5 m not counted", source);
    if (known < 1)
        line.words += fmt::format("; unknown on {:.0f} % of the line", std::ceil((1 - known) * 100));
}

/// Whether each step from the one at or before from_m to the one at or after to_m has a height.
bool all_known(const HeightLine& line, double from_m, double to_m) {
    const auto first = static_cast<std::size_t>(from_m / line.step_m);
    const auto last =
        std::min(static_cast<std::size_t>(std::ceil(to_m / line.step_m)), line.height_m.size() - 1);
    for (std::size_t i = first; i <= last; ++i)
        if (!line.height_m[i]) return false;
    return true;
}

double counted_at(const HeightLine& line, const std::vector<double>& counted, double at_m) {
    const auto i = std::min(static_cast<std::size_t>(at_m / line.step_m), counted.size() - 1);
    if (i + 1 >= counted.size()) return counted.back();
    const double a_m = at_step(line, i), b_m = at_step(line, i + 1);
    return counted[i] + (counted[i + 1] - counted[i]) * (at_m - a_m) / (b_m - a_m);
}

} // namespace

HeightLine heights_of_file(const route::Route& route) {
    std::vector<Point> points = points_of(route);
    const std::string why_not = distrust(points);
    HeightLine out = heights_by(points, [](const Place& place) { return place.elevation_m; });
    out.why_not = why_not;
    name_source(out, "the file's own elevations");
    return out;
}

HeightLine heights_of_model(const route::Route& route, const HeightModel& model) {
    HeightLine out =
        heights_by(points_of(route), [&](const Place& place) { return model.height_m(place.position); });
    name_source(out, model.words());
    if (out.words.empty())
        out.why_not = fmt::format("H{}: none anywhere on the route.", model.words().substr(1));
    return out;
}

std::optional<Climb> climb_between(const HeightLine& line, double from_m, double to_m) {
    if (line.height_m.empty()) return std::nullopt;
    from_m = std::clamp(from_m, 0.0, line.length_m);
    to_m = std::clamp(to_m, from_m, line.length_m);
    if (!all_known(line, from_m, to_m)) return std::nullopt;
    const auto counted = [&](const std::vector<double>& steps) {
        return counted_at(line, steps, to_m) - counted_at(line, steps, from_m);
    };
    return Climb{counted(line.ascent_m), counted(line.descent_m)};
}

std::vector<ProfilePiece> pieces_between(const HeightLine& line, double from_m, double to_m) {
    from_m = std::clamp(from_m, 0.0, line.length_m);
    to_m = std::clamp(to_m, 0.0, line.length_m);
    if (from_m >= to_m || !climb_between(line, from_m, to_m)) return {};
    const auto count = std::max(1.0, std::round((to_m - from_m) / k_piece_m));
    const double length_m = (to_m - from_m) / count;
    std::vector<ProfilePiece> out;
    for (double i = 0; i < count; ++i) {
        const auto climb = climb_between(line, from_m + i * length_m, from_m + (i + 1) * length_m);
        out.push_back({length_m, climb->ascent_m - climb->descent_m});
    }
    return out;
}

double share_known(const HeightLine& line) {
    if (line.height_m.empty()) return 0;
    const auto known = std::count_if(line.height_m.begin(), line.height_m.end(),
                                     [](const auto& h) { return h.has_value(); });
    return static_cast<double>(known) / static_cast<double>(line.height_m.size());
}

} // namespace waywarden::survey
