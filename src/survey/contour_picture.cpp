#include "survey/contour_picture.hpp"

#include "survey/contours.hpp"
#include "survey/scene.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

namespace waywarden::survey {

namespace {

constexpr double k_step_m =
    20; // rasters in use have cells of 5 to 30 m; half a line's width at 1:50 000 is 10 m
constexpr double k_most_asked = 60'000;    // heights: each takes some microseconds
constexpr double k_most_nodes = 4'000'000; // in the box around the route, asked for or not: 32 MB
constexpr double k_shortest_m = 80;        // smaller rings are noise of the raster, or a hummock
constexpr double k_coarsest_m = 64;        // lines are drawn at least so true, however many there are
constexpr double k_shortest_labelled_m = 300;
constexpr double k_label_reach_m = 40; // a figure runs along so much of the line to each side

/// Contour intervals and the relief up to which each is taken. Common practice, no source: sheets of hill
/// country have 10 m, of low country 5 m, of the Alps 20 m.
struct Interval {
    double metres, up_to_relief_m;
};
constexpr std::array<Interval, 4> k_intervals{
    {{5, 120}, {10, 600}, {20, 1500}, {50, std::numeric_limits<double>::infinity()}}};

/// A grid over the box of the lines, with NaN everywhere.
HeightGrid empty_grid(const std::vector<PlaneLine>& lines, double reach_m) {
    PlaneBox box;
    double length_m = 0;
    for (const PlaneLine& line : lines) {
        length_m += length_of(line);
        for (const geo::Metres2 p : line)
            box.add(p);
    }
    HeightGrid out;
    const double edge_m = reach_m + 2 * k_step_m;
    box.grow(edge_m);
    const geo::Metres2 size = box.high - box.low;
    const double asked_m2 = 2 * reach_m * (length_m + 2 * reach_m);
    out.step_m = std::max(
        {k_step_m, std::sqrt(asked_m2 / k_most_asked), std::sqrt(size.x_m * size.y_m / k_most_nodes)});
    out.corner = box.low;
    out.columns = static_cast<std::size_t>(size.x_m / out.step_m) + 2;
    out.rows = static_cast<std::size_t>(size.y_m / out.step_m) + 2;
    out.height_m.assign(out.columns * out.rows, std::numeric_limits<double>::quiet_NaN());
    return out;
}

/// What was asked and answered.
struct Asked {
    std::size_t nodes = 0, known = 0;
    double lowest_m = std::numeric_limits<double>::infinity(), highest_m = -lowest_m;
};

/// Fills in the heights of the nodes within reach.
class Filling {
  public:
    Filling(HeightGrid& grid, double reach_m, const geo::LocalFrame& frame, const HeightAt& height_m)
        : m_grid(grid), m_reach_m(reach_m), m_frame(frame), m_height_m(height_m),
          m_done(grid.height_m.size(), false) {}

    void along(geo::Metres2 a, geo::Metres2 b) {
        const auto [west, east] = span(a.x_m, b.x_m, m_grid.corner.x_m, m_grid.columns);
        const auto [south, north] = span(a.y_m, b.y_m, m_grid.corner.y_m, m_grid.rows);
        for (std::size_t row = south; row <= north; ++row)
            for (std::size_t column = west; column <= east; ++column) {
                const geo::Metres2 p =
                    m_grid.corner +
                    m_grid.step_m * geo::Metres2{static_cast<double>(column), static_cast<double>(row)};
                const std::size_t node = row * m_grid.columns + column;
                if (!m_done[node] && geo::nearest_on_segment(p, a, b).distance_m <= m_reach_m) ask(node, p);
            }
    }
    const Asked& asked() const { return m_asked; }

  private:
    std::pair<std::size_t, std::size_t> span(double a, double b, double corner, std::size_t count) const {
        const auto cell = [&](double at) {
            return static_cast<std::size_t>(
                std::clamp(std::floor((at - corner) / m_grid.step_m), 0.0, static_cast<double>(count - 1)));
        };
        return {cell(std::min(a, b) - m_reach_m), cell(std::max(a, b) + m_reach_m)};
    }
    void ask(std::size_t node, geo::Metres2 p) {
        m_done[node] = true;
        ++m_asked.nodes;
        const auto metres = m_height_m(m_frame.to_position(p));
        if (!metres) return;
        ++m_asked.known;
        m_asked.lowest_m = std::min(m_asked.lowest_m, *metres);
        m_asked.highest_m = std::max(m_asked.highest_m, *metres);
        m_grid.height_m[node] = *metres;
    }

    HeightGrid& m_grid;
    double m_reach_m;
    const geo::LocalFrame& m_frame;
    const HeightAt& m_height_m;
    std::vector<bool> m_done;
    Asked m_asked;
};

/// Each height with its neighbours to the west and east, half as heavy, then to the south and north; as it is
/// where one of them is unknown. Rasters tremble by a metre or two, and many count in whole metres:
/// unsmoothed lines would show that.
void smooth(HeightGrid& grid) {
    for (const bool across : {true, false}) {
        const std::size_t to_next = across ? 1 : grid.columns, edge = across ? 0 : 1;
        const std::vector<double> from = grid.height_m;
        for (std::size_t row = edge; row + edge < grid.rows; ++row)
            for (std::size_t column = 1 - edge; column + 1 - edge < grid.columns; ++column) {
                const std::size_t node = row * grid.columns + column;
                const double mean = (from[node - to_next] + 2 * from[node] + from[node + to_next]) / 4;
                if (!std::isnan(mean)) grid.height_m[node] = mean;
            }
    }
}

/// The contours at one interval within reach.
std::vector<Contour> cut_contours(const HeightGrid& grid, double interval_m, const Cutter& cutter,
                                  double detail_m) {
    std::vector<Contour> out;
    for (const Contour& one : contours(grid, interval_m)) {
        if (length_of(one.line) < std::max(k_shortest_m, 10 * detail_m)) continue; // what would be a triangle
        for (PlaneLine& part : cutter.cut(one.line, detail_m))
            out.push_back({one.height_m, std::move(part)});
    }
    return out;
}

std::size_t points_of(const std::vector<Contour>& lines) {
    std::size_t out = 0;
    for (const Contour& one : lines)
        out += one.line.size();
    return out;
}

std::size_t interval_for(double relief_m) {
    std::size_t out = 0;
    while (relief_m > k_intervals[out].up_to_relief_m)
        ++out;
    return out;
}

/// A figure along a line at a share of its length.
std::optional<PictureName> figure(const Contour& one, double share, const geo::LocalFrame& frame) {
    const double length_m = length_of(one.line), at_m = share * length_m;
    if (length_m < k_shortest_labelled_m) return std::nullopt;
    const auto place = [&](double on_m) {
        for (std::size_t i = 1; i < one.line.size(); ++i) {
            const double piece_m = geo::length_m(one.line[i] - one.line[i - 1]);
            if (on_m <= piece_m && piece_m > 0)
                return one.line[i - 1] + on_m / piece_m * (one.line[i] - one.line[i - 1]);
            on_m -= piece_m;
        }
        return one.line.back();
    };
    const geo::Metres2 along = place(at_m + k_label_reach_m) - place(at_m - k_label_reach_m);
    if (geo::length_m(along) < k_label_reach_m) return std::nullopt; // the line turns back here
    PictureName out;
    out.text = fmt::format("{:.0f}", one.height_m);
    out.of = PictureName::Of::contour;
    out.at = frame.to_position(place(at_m));
    const double degrees = std::atan2(along.x_m, along.y_m) * 180 / std::numbers::pi;
    out.bearing_deg = degrees < 0 ? degrees + 180 : degrees;
    return out;
}

void keep(const std::vector<Contour>& lines, double interval_m, const geo::LocalFrame& frame,
          MapPicture& picture) {
    picture.contour_step_m = interval_m;
    for (const Contour& one : lines) {
        PictureContour& to = picture.contours.emplace_back();
        to.height_m = one.height_m;
        to.index = std::fmod(one.height_m, 5 * interval_m) == 0;
        for (const geo::Metres2 p : one.line)
            to.line.push_back(frame.to_position(p));
        if (!to.index) continue;
        for (const double share : {0.25, 0.75}) // to both sides of the walk, which most lines cross
            if (const auto name = figure(one, share, frame)) picture.names.push_back(*name);
    }
}

} // namespace

void add_contours(const route::Route& route, const HeightAt& height_m, MapPicture& picture,
                  std::size_t most_points) {
    const auto frame = picture_frame(route);
    if (!frame || picture.reach_m <= 0) return;
    const std::vector<PlaneLine> lines = walked_lines(route, *frame);
    HeightGrid grid = empty_grid(lines, picture.reach_m);
    Filling filling(grid, picture.reach_m + 2 * grid.step_m, *frame, height_m);
    for (const PlaneLine& line : lines)
        for (std::size_t i = 0; i < line.size(); ++i)
            filling.along(line[i ? i - 1 : 0], line[i]);
    const Asked& asked = filling.asked();
    if (asked.known == 0) return;

    smooth(grid);
    const Cutter cutter(lines, picture.reach_m);
    std::size_t interval = interval_for(asked.highest_m - asked.lowest_m);
    double detail_m = picture.detail_m;
    std::vector<Contour> found = cut_contours(grid, k_intervals[interval].metres, cutter, detail_m);
    while (points_of(found) > most_points && detail_m < k_coarsest_m) {
        if (interval + 1 < k_intervals.size())
            ++interval;
        else
            detail_m *= 2;
        found = cut_contours(grid, k_intervals[interval].metres, cutter, detail_m);
    }
    picture.heights_known = static_cast<double>(asked.known) / static_cast<double>(asked.nodes);
    keep(found, k_intervals[interval].metres, *frame, picture);
}

} // namespace waywarden::survey
