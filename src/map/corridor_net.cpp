#include "map/corridor_net.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace waywarden::map {

namespace {

constexpr double k_m_per_deg = 111132; // of latitude, on average; the net is generous by cells, not by metres
constexpr double k_most_cells_across = 4000;

double wrapped_deg(double deg) {
    if (deg > 180) return deg - 360;
    return deg < -180 ? deg + 360 : deg;
}

/// Sets bits from first to last, a word at a time.
void fill(std::vector<std::uint64_t>& bits, std::uint64_t first, std::uint64_t last) {
    for (std::uint64_t word = first / 64; word <= last / 64; ++word) {
        std::uint64_t mask = ~std::uint64_t{0};
        if (word == first / 64) mask &= ~std::uint64_t{0} << (first % 64);
        if (word == last / 64) mask &= ~std::uint64_t{0} >> (63 - last % 64);
        bits[word] |= mask;
    }
}

} // namespace

CorridorNet::CorridorNet(const Corridor& corridor, double reach_m) {
    double first_lon_deg = 0, west_deg = 1e9, east_deg = -1e9, south_deg = 1e9, north_deg = -1e9;
    bool any = false;
    for (const auto& line : corridor.lines)
        for (const geo::Position p : line) {
            if (!any) first_lon_deg = p.lon_deg;
            any = true;
            const double lon_deg = first_lon_deg + wrapped_deg(p.lon_deg - first_lon_deg);
            west_deg = std::min(west_deg, lon_deg);
            east_deg = std::max(east_deg, lon_deg);
            south_deg = std::min(south_deg, p.lat_deg);
            north_deg = std::max(north_deg, p.lat_deg);
        }
    if (!any) return;
    // Cells have one width in degrees; the farthest latitude from the equator decides how far a reach extends
    // in them.
    const double far_lat_deg =
        std::min(89.0, std::max(std::abs(south_deg), std::abs(north_deg)) + reach_m / k_m_per_deg);
    const double narrow = std::max(0.01, std::cos(far_lat_deg * std::numbers::pi / 180));
    const double extent_m = std::max(north_deg - south_deg, (east_deg - west_deg)) * k_m_per_deg;
    m_cell_m = std::max(150.0, extent_m / k_most_cells_across);
    m_rows_per_deg = k_m_per_deg / m_cell_m;
    m_columns_per_deg = m_rows_per_deg * narrow;
    const double margin_deg = (reach_m + 3 * m_cell_m) / k_m_per_deg;
    m_south_deg = south_deg - margin_deg;
    m_west_deg = west_deg - margin_deg / narrow;
    m_width_deg = east_deg - west_deg + 2 * margin_deg / narrow;
    m_rows = static_cast<std::uint32_t>((north_deg - south_deg + 2 * margin_deg) * m_rows_per_deg) + 1;
    m_columns = static_cast<std::uint32_t>(m_width_deg * m_columns_per_deg) + 1;
    if (m_west_deg < -180) m_west_deg += 360;
    m_bits.assign((std::uint64_t{m_rows} * m_columns + 63) / 64, 0);
    const auto cells = static_cast<std::int64_t>(std::ceil(reach_m / m_cell_m)) + 1;
    for (const auto& line : corridor.lines)
        for (std::size_t i = 0; i < line.size(); ++i) {
            mark(line[i], cells, cells);
            if (i + 1 == line.size()) break;
            const double east = wrapped_deg(line[i + 1].lon_deg - line[i].lon_deg),
                         north = line[i + 1].lat_deg - line[i].lat_deg;
            const int pieces =
                1 + static_cast<int>(std::max(std::abs(east), std::abs(north)) * k_m_per_deg / m_cell_m);
            for (int piece = 1; piece < pieces; ++piece)
                mark({wrapped_deg(line[i].lon_deg + east * piece / pieces),
                      line[i].lat_deg + north * piece / pieces},
                     cells, cells);
        }
}

void CorridorNet::mark(geo::Position p, std::int64_t columns, std::int64_t rows) {
    double east_deg = p.lon_deg - m_west_deg;
    if (east_deg < 0) east_deg += 360;
    const auto column = static_cast<std::int64_t>(east_deg * m_columns_per_deg);
    const auto row = static_cast<std::int64_t>((p.lat_deg - m_south_deg) * m_rows_per_deg);
    const std::int64_t low = std::max<std::int64_t>(0, column - columns);
    const std::int64_t high = std::min<std::int64_t>(m_columns - 1, column + columns);
    if (low > high) return;
    for (std::int64_t r = std::max<std::int64_t>(0, row - rows);
         r <= std::min<std::int64_t>(m_rows - 1, row + rows); ++r)
        fill(m_bits, static_cast<std::uint64_t>(r * m_columns + low),
             static_cast<std::uint64_t>(r * m_columns + high));
}

bool CorridorNet::touches(geo::Position a, geo::Position b) const {
    const double east = wrapped_deg(b.lon_deg - a.lon_deg), north = b.lat_deg - a.lat_deg;
    const int pieces =
        1 + static_cast<int>(std::max(std::abs(east), std::abs(north)) * k_m_per_deg / m_cell_m);
    for (int piece = 0; piece <= pieces; ++piece)
        if (holds({wrapped_deg(a.lon_deg + east * piece / pieces), a.lat_deg + north * piece / pieces}))
            return true;
    return false;
}

} // namespace waywarden::map
