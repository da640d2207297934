#include "map/prepared_cells.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numbers>

namespace waywarden::map {

namespace {

constexpr std::int64_t k_half_globe = std::int64_t{1} << 31; // units; more than 180 degrees
constexpr int k_coarsest_level = 32, k_everywhere_level = 63;
constexpr double k_units_per_deg = 1e7, k_piece_deg = 0.01;

/// The bits of both numbers in turn.
std::uint64_t curve(std::uint64_t x, std::uint64_t y) {
    const auto spread = [](std::uint64_t v) {
        v = (v | v << 16) & 0x0000FFFF0000FFFF;
        v = (v | v << 8) & 0x00FF00FF00FF00FF;
        v = (v | v << 4) & 0x0F0F0F0F0F0F0F0F;
        v = (v | v << 2) & 0x3333333333333333;
        return (v | v << 1) & 0x5555555555555555;
    };
    return spread(x) | spread(y) << 1;
}

std::int32_t units(double deg, double most_deg) {
    return static_cast<std::int32_t>(std::clamp(deg, -most_deg, most_deg) * k_units_per_deg);
}

/// Longitudes run on past 180 degrees where a line does.
struct DegreeBox {
    double west = 1e9, south = 1e9, east = -1e9, north = -1e9;
    bool empty() const { return west > east; }
    double across_deg() const { return std::max(east - west, north - south); }
    void add(geo::Position p, double near_lon_deg) {
        const double lon = near_lon_deg + std::remainder(p.lon_deg - near_lon_deg, 360.0);
        west = std::min(west, lon), east = std::max(east, lon);
        south = std::min(south, p.lat_deg), north = std::max(north, p.lat_deg);
    }
};

/// The box with its margins, cut at the 180th degree.
void put(const DegreeBox& box, double margin_lat_deg, double margin_lon_deg, std::vector<UnitBox>& boxes) {
    const double west = box.west - margin_lon_deg, east = box.east + margin_lon_deg;
    const std::int32_t south = units(box.south - margin_lat_deg, 90);
    const std::int32_t north = units(box.north + margin_lat_deg, 90);
    const auto add = [&](double w, double e) {
        boxes.push_back({units(w, 180), south, units(e, 180), north});
    };
    if (east - west >= 360) return add(-180, 180);
    add(west, east);
    if (west < -180) add(west + 360, 180);
    if (east > 180) add(-180, east - 360);
}

} // namespace

CellKey first_of_level(Layer layer, int level) {
    return static_cast<std::uint64_t>(layer) << 56 | static_cast<std::uint64_t>(level) << 48;
}

CellKey cell_of_everywhere(Layer layer) {
    return first_of_level(layer, k_everywhere_level);
}

CellKey cell_of(Layer layer, const UnitBox& box) {
    const std::int64_t wide = std::int64_t{box.east} - box.west, high = std::int64_t{box.north} - box.south;
    const int needed = static_cast<int>(std::bit_width(static_cast<std::uint64_t>(std::max(wide, high))));
    const int level = std::clamp(needed, finest_level(layer), k_coarsest_level);
    const auto along = [&](std::int64_t low, std::int64_t high_end) {
        return static_cast<std::uint64_t>(((low + high_end) / 2 + k_half_globe) >> level);
    };
    return first_of_level(layer, level) | curve(along(box.west, box.east), along(box.south, box.north));
}

std::vector<CellKey> cells_that_meet(Layer layer, int level, const std::vector<UnitBox>& boxes) {
    std::vector<CellKey> cells;
    if (level > k_coarsest_level) return {first_of_level(layer, level)};
    const std::int64_t half = std::int64_t{1} << (level - 1);
    const auto index = [&](std::int64_t at) {
        return static_cast<std::uint64_t>(
                   std::clamp(at + k_half_globe, std::int64_t{0}, 2 * k_half_globe - 1)) >>
               level;
    };
    for (const UnitBox& box : boxes)
        for (std::uint64_t y = index(box.south - half); y <= index(box.north + half); ++y)
            for (std::uint64_t x = index(box.west - half); x <= index(box.east + half); ++x)
                cells.push_back(first_of_level(layer, level) | curve(x, y));
    std::sort(cells.begin(), cells.end());
    cells.erase(std::unique(cells.begin(), cells.end()), cells.end());
    return cells;
}

std::vector<UnitBox> boxes_around(const Corridor& corridor, double reach_m) {
    std::vector<UnitBox> boxes;
    DegreeBox whole;
    double first_lon_deg = 0;
    for (const auto& line : corridor.lines)
        for (const geo::Position p : line) {
            if (whole.empty()) first_lon_deg = p.lon_deg;
            whole.add(p, first_lon_deg);
        }
    if (whole.empty()) return boxes;
    // A net marks up to three of its cells beyond the reach, and these grow with the corridor.
    constexpr double k_m_per_deg = 111000; // a little short, so that metres become rather many degrees
    const double across_m = whole.across_deg() * 111132;
    const double margin_deg = (reach_m + 4 * std::max(150.0, across_m / 4000)) / k_m_per_deg;
    const double far_lat_deg =
        std::min(89.0, std::max(std::abs(whole.south), std::abs(whole.north)) + margin_deg);
    const double margin_lon_deg = margin_deg / std::max(0.01, std::cos(far_lat_deg * std::numbers::pi / 180));
    for (const auto& line : corridor.lines)
        for (std::size_t i = 0; i < line.size();) {
            DegreeBox piece;
            piece.add(line[i], line[i].lon_deg);
            std::size_t next = i + 1; // at least the next point, then as many as fit
            for (; next < line.size(); ++next) {
                DegreeBox longer = piece;
                longer.add(line[next], line[i].lon_deg);
                if (next > i + 1 && longer.across_deg() > k_piece_deg) break;
                piece = longer;
            }
            put(piece, margin_deg, margin_lon_deg, boxes);
            if (next >= line.size()) break;
            i = next - 1;
        }
    return boxes;
}

} // namespace waywarden::map
