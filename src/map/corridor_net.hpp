#pragma once

#include "map/read.hpp"

#include <cstdint>
#include <vector>

namespace waywarden::map {

/// Tells in a few nanoseconds whether a place lies near the corridor's lines: a bitmap of cells.
class CorridorNet {
  public:
    /// Holds every place within `reach_m` of a line, and some up to three cells farther; cells are 150 m,
    /// larger for corridors of over 600 km so that the bitmap stays below 2 MB.
    CorridorNet(const Corridor& corridor, double reach_m);

    bool holds(geo::Position p) const {
        double east_deg = p.lon_deg - m_west_deg;
        if (east_deg < 0) east_deg += 360;
        if (east_deg >= m_width_deg || p.lat_deg < m_south_deg) return false;
        const auto column = static_cast<std::uint32_t>(east_deg * m_columns_per_deg);
        const auto row = static_cast<std::uint32_t>((p.lat_deg - m_south_deg) * m_rows_per_deg);
        if (column >= m_columns || row >= m_rows) return false;
        const std::uint64_t bit = std::uint64_t{row} * m_columns + column;
        return (m_bits[bit / 64] >> (bit % 64)) & 1;
    }

    /// Whether the straight line between two places touches the net.
    bool touches(geo::Position a, geo::Position b) const;

  private:
    void mark(geo::Position p, std::int64_t columns, std::int64_t rows);

    double m_west_deg = 0, m_south_deg = 0, m_width_deg = 0;
    double m_columns_per_deg = 1, m_rows_per_deg = 1;
    std::uint32_t m_columns = 0, m_rows = 0;
    double m_cell_m = 150;
    std::vector<std::uint64_t> m_bits;
};

} // namespace waywarden::map
