#include "report/html_map.hpp"
#include "report/html_text.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace waywarden::report {

namespace {

constexpr int k_wide = 1000, k_high = 220; ///< of the drawing

struct Height {
    double at_m, elevation_m;
};

/// The heights of the file, a list a run of points that have them.
std::vector<std::vector<Height>> heights_of(const route::Route& route) {
    const auto metres = route::metres_along(route);
    std::vector<std::vector<Height>> out;
    for (std::size_t s = 0; s < route.segments.size(); ++s) {
        bool joined = false;
        const auto& points = route.segments[s].points;
        for (std::size_t i = 0; i < points.size(); ++i) {
            if (points[i].elevation_m && std::isfinite(*points[i].elevation_m)) {
                if (!joined) out.emplace_back();
                out.back().push_back({metres[s][i], *points[i].elevation_m});
            }
            joined = points[i].elevation_m.has_value();
        }
    }
    return out;
}

struct Scales {
    double low_m = 1e9, high_m = -1e9, length_m = 1;
    double step_m = 10; ///< between the lines across
    double x(double at_m) const { return at_m / length_m * k_wide; }
    double y(double elevation_m) const { return k_high * (1 - (elevation_m - low_m) / (high_m - low_m)); }
};

Scales scales_of(const std::vector<std::vector<Height>>& runs, double length_m) {
    Scales out;
    out.length_m = std::max(length_m, 1.0);
    for (const auto& run : runs)
        for (const Height& one : run) {
            out.low_m = std::min(out.low_m, one.elevation_m);
            out.high_m = std::max(out.high_m, one.elevation_m);
        }
    for (const double step_m : {10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0}) {
        out.step_m = step_m;
        if ((out.high_m - out.low_m) / step_m <= 5) break;
    }
    out.low_m = std::floor(out.low_m / out.step_m) * out.step_m;
    out.high_m = std::max(std::ceil(out.high_m / out.step_m) * out.step_m, out.low_m + out.step_m);
    return out;
}

double height_at(const std::vector<std::vector<Height>>& runs, double at_m, double otherwise) {
    double nearest_m = 1e18, out = otherwise;
    for (const auto& run : runs)
        for (const Height& one : run)
            if (std::abs(one.at_m - at_m) < nearest_m) {
                nearest_m = std::abs(one.at_m - at_m);
                out = one.elevation_m;
            }
    return out;
}

std::string curve(const std::vector<std::vector<Height>>& runs, const Scales& s) {
    std::string line, area;
    for (const auto& run : runs) {
        std::string points;
        for (const Height& one : run)
            points += fmt::format("{}{:.0f} {:.0f}", points.empty() ? "M" : "L", s.x(one.at_m),
                                  s.y(one.elevation_m));
        line += points;
        area += fmt::format("{}L{:.0f} {}L{:.0f} {}z", points, s.x(run.back().at_m), k_high,
                            s.x(run.front().at_m), k_high);
    }
    return fmt::format(R"~(<path class="hill" d="{}"/><path class="ridge" d="{}"/>)~", area, line);
}

std::string axes(const Scales& s) {
    std::string out;
    for (double m = s.low_m; m <= s.high_m + 0.5; m += s.step_m)
        out += fmt::format(
            R"~(<path class="across" d="M0 {0:.0f}h{1}"/><text class="left" x="-6" y="{0:.0f}">{2:.0f} m</text>)~",
            s.y(m), k_wide, m);
    const int step_km = s.length_m > 30000 ? 5 : s.length_m > 12000 ? 2 : 1;
    for (int km = 0; km * 1000 <= s.length_m; km += step_km)
        out += fmt::format(R"~(<text class="below" x="{:.0f}" y="{}">{} km</text>)~", s.x(km * 1000),
                           k_high + 18, km);
    return out;
}

} // namespace

std::string profile_section(const PageRoute& page) {
    const auto runs = heights_of(page.route.route);
    std::size_t points = 0;
    for (const auto& run : runs)
        points += run.size();
    if (points < 2) return "";
    const Scales s = scales_of(runs, page.route.survey.length_m);
    std::string signs;
    double last_x = -100, up = 0;
    std::vector<PlacedSign> walk = page.signs;
    std::stable_sort(walk.begin(), walk.end(), [](const PlacedSign& a, const PlacedSign& b) {
        return a.finding->from_m < b.finding->from_m;
    });
    for (const PlacedSign& sign : walk) {
        const double x = s.x(sign.finding->from_m), y = s.y(height_at(runs, sign.finding->from_m, s.low_m));
        up = x - last_x < 22 ? up + 22 : 16;
        last_x = x;
        signs += fmt::format(
            R"~(<path class="leader" d="M{0:.0f} {1:.0f}v-{2:.0f}"/><g transform="translate({0:.0f} {3:.0f})">{4}</g>)~",
            x, y, up, y - up, sign_svg(*sign.finding, sign.number));
    }
    return begin_section(page, "p", "Height profile") +
           fmt::format(
               "<svg class=\"profile\" viewBox=\"-70 -90 1100 350\" role=\"img\" aria-label=\"Heights along "
               "the route between {:.0f} and {:.0f} m, with the numbers of the findings\">{}{}{}</svg>\n"
               "<p class=\"small\">Heights as the route file gives them; nobody has checked them. Drawn "
               "steeper than it is.</p>\n</section>\n",
               s.low_m, s.high_m, axes(s), curve(runs, s), signs);
}

} // namespace waywarden::report
