#include "survey/contours.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <iterator>
#include <map>
#include <unordered_map>
#include <unordered_set>
#include <utility>

namespace waywarden::survey {

namespace {

/// The sides of a square in the order south, east, north, west, and its corners from the south-west one,
/// against the clock: side i runs from corner i to the next.
constexpr std::array<std::pair<std::size_t, std::size_t>, 4> k_corners{{{0, 0}, {1, 0}, {1, 1}, {0, 1}}};

/// One height's way through the grid.
class Tracer {
  public:
    Tracer(const HeightGrid& grid, double height_m) : m_grid(grid), m_height_m(height_m) {}

    void look_at(std::size_t column, std::size_t row, const std::array<double, 4>& corners) {
        std::array<bool, 4> high{};
        for (std::size_t i = 0; i < 4; ++i)
            high[i] = corners[i] >= m_height_m;
        // The line enters by a side that it meets with higher ground to the left, and leaves by the next.
        std::array<std::size_t, 2> in{}, out{};
        std::size_t ins = 0, outs = 0;
        for (std::size_t side = 0; side < 4; ++side) {
            const bool from = high[side], to = high[(side + 1) % 4];
            if (from && !to) in[ins++] = side;
            if (!from && to) out[outs++] = side;
        }
        if (ins == 0) return;
        if (ins == 2) {
            // A saddle: the way out is the side before or behind the way in, as the middle is low or high.
            const bool middle = (corners[0] + corners[1] + corners[2] + corners[3]) / 4 >= m_height_m;
            for (const std::size_t side : in)
                join(column, row, side, (side + (middle ? 1 : 3)) % 4);
        } else {
            join(column, row, in[0], out[0]);
        }
    }

    std::vector<Contour> lines() && {
        std::vector<Contour> out;
        std::vector<bool> used(m_pieces.size(), false);
        std::unordered_map<std::uint64_t, std::size_t> begins;
        std::unordered_set<std::uint64_t> ended;
        for (std::size_t i = 0; i < m_pieces.size(); ++i) {
            begins.emplace(m_pieces[i].first, i);
            ended.insert(m_pieces[i].second);
        }
        const auto follow = [&](std::size_t piece) {
            Contour line{m_height_m, {place(m_pieces[piece].first)}};
            for (;;) {
                used[piece] = true;
                line.line.push_back(place(m_pieces[piece].second));
                const auto next = begins.find(m_pieces[piece].second);
                if (next == begins.end() || used[next->second]) break;
                piece = next->second;
            }
            out.push_back(std::move(line));
        };
        for (std::size_t i = 0; i < m_pieces.size(); ++i) // those that begin at an edge, then the closed ones
            if (!ended.contains(m_pieces[i].first)) follow(i);
        for (std::size_t i = 0; i < m_pieces.size(); ++i)
            if (!used[i]) follow(i);
        return out;
    }

  private:
    /// Sides by the node they begin at and whether they run north; each belongs to two squares.
    std::uint64_t side_id(std::size_t column, std::size_t row, std::size_t side) const {
        const bool north = side % 2 == 1;
        if (side == 1) ++column;
        if (side == 2) ++row;
        return 2 * static_cast<std::uint64_t>(row * m_grid.columns + column) + (north ? 1 : 0);
    }
    void join(std::size_t column, std::size_t row, std::size_t from, std::size_t to) {
        m_pieces.emplace_back(side_id(column, row, from), side_id(column, row, to));
    }
    geo::Metres2 place(std::uint64_t side) const {
        const std::size_t node = side / 2, column = node % m_grid.columns, row = node / m_grid.columns;
        const bool north = side % 2 == 1;
        const double a = m_grid.at(column, row),
                     b = north ? m_grid.at(column, row + 1) : m_grid.at(column + 1, row);
        const double share = (m_height_m - a) / (b - a);
        const auto x = static_cast<double>(column) + (north ? 0 : share);
        const auto y = static_cast<double>(row) + (north ? share : 0);
        return m_grid.corner + m_grid.step_m * geo::Metres2{x, y};
    }

    const HeightGrid& m_grid;
    double m_height_m;
    std::vector<std::pair<std::uint64_t, std::uint64_t>> m_pieces; ///< from side to side
};

} // namespace

std::vector<Contour> contours(const HeightGrid& grid, double interval_m) {
    std::map<std::int64_t, Tracer> by_level;
    for (std::size_t row = 0; row + 1 < grid.rows; ++row)
        for (std::size_t column = 0; column + 1 < grid.columns; ++column) {
            std::array<double, 4> corners{};
            for (std::size_t i = 0; i < 4; ++i)
                corners[i] = grid.at(column + k_corners[i].first, row + k_corners[i].second);
            if (!std::all_of(corners.begin(), corners.end(), [](double h) { return std::isfinite(h); }))
                continue;
            const auto [low, high] = std::minmax_element(corners.begin(), corners.end());
            const auto last = static_cast<std::int64_t>(std::floor(*high / interval_m));
            for (auto level = static_cast<std::int64_t>(std::floor(*low / interval_m)) + 1; level <= last;
                 ++level) {
                if (level == 0) continue;
                by_level.try_emplace(level, grid, static_cast<double>(level) * interval_m)
                    .first->second.look_at(column, row, corners);
            }
        }
    std::vector<Contour> out;
    for (auto& [level, tracer] : by_level) {
        std::vector<Contour> lines = std::move(tracer).lines();
        std::move(lines.begin(), lines.end(), std::back_inserter(out));
    }
    return out;
}

} // namespace waywarden::survey
