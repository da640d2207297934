#include "report/walk_index.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace waywarden::report {

namespace {

constexpr double k_cell_m = 100;
constexpr double k_as_near_m = 5; // two passes of one way, drawn twice

std::int64_t cell_number(double metres) {
    return static_cast<std::int64_t>(std::floor(metres / k_cell_m));
}

geo::Position first_position(const survey::Survey& walk) {
    for (const survey::StretchSurvey& stretch : walk.stretches)
        if (!stretch.line.empty()) return stretch.line.front().position;
    return {};
}

} // namespace

std::uint64_t WalkIndex::cell(std::int64_t column, std::int64_t row) {
    return (static_cast<std::uint64_t>(column) << 32) ^ (static_cast<std::uint64_t>(row) & 0xffffffffu);
}

WalkIndex::WalkIndex(const survey::Survey& walk) : m_walk(walk), m_frame(first_position(walk)) {
    for (std::uint32_t s = 0; s < walk.stretches.size(); ++s) {
        const auto& line = walk.stretches[s].line;
        for (std::size_t i = 0; i + 1 < line.size(); ++i)
            m_pieces.push_back(
                {m_frame.to_plane(line[i].position), m_frame.to_plane(line[i + 1].position), s});
    }
    for (std::uint32_t i = 0; i < m_pieces.size(); ++i) {
        const Piece& piece = m_pieces[i];
        const auto [west, east] = std::minmax(piece.a.x_m, piece.b.x_m);
        const auto [south, north] = std::minmax(piece.a.y_m, piece.b.y_m);
        for (auto column = cell_number(west - k_near_m); column <= cell_number(east + k_near_m); ++column)
            for (auto row = cell_number(south - k_near_m); row <= cell_number(north + k_near_m); ++row)
                m_cells.emplace(cell(column, row), i);
    }
}

const survey::StretchSurvey* WalkIndex::at(geo::Position place, double share) const {
    const geo::Metres2 p = m_frame.to_plane(place);
    struct Candidate {
        double metres;
        std::uint32_t stretch;
    };
    std::vector<Candidate> near;
    double least_m = k_near_m;
    const auto [first, last] = m_cells.equal_range(cell(cell_number(p.x_m), cell_number(p.y_m)));
    for (auto it = first; it != last; ++it) {
        const Piece& piece = m_pieces[it->second];
        const double metres = geo::nearest_on_segment(p, piece.a, piece.b).distance_m;
        if (metres > k_near_m) continue;
        near.push_back({metres, piece.stretch});
        least_m = std::min(least_m, metres);
    }
    const survey::StretchSurvey* best = nullptr;
    double best_off = std::numeric_limits<double>::infinity();
    for (const Candidate& one : near) {
        if (one.metres > least_m + k_as_near_m) continue;
        const survey::StretchSurvey& stretch = m_walk.stretches[one.stretch];
        const double middle = (stretch.from_m + stretch.to_m) / 2 / std::max(m_walk.length_m, 1.0);
        const double off = std::abs(middle - share) + one.metres * 1e-6;
        if (off < best_off || (off == best_off && best && stretch.from_m < best->from_m)) {
            best = &stretch;
            best_off = off;
        }
    }
    return best;
}

} // namespace waywarden::report
