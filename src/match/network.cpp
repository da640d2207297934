#include "match/network.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace waywarden::match {

namespace {

constexpr double k_cell_m = 80;
constexpr double k_radians_per_deg = std::numbers::pi / 180;
constexpr double k_earth_radius_m = 6371008.8;

std::int64_t cell_key(std::int64_t column, std::int64_t row) {
    return column * (std::int64_t{1} << 32) + row;
}

std::int64_t cell_of(double metres) {
    return static_cast<std::int64_t>(std::floor(metres / k_cell_m));
}

bool can_be_walked_along(map::LineKind kind) {
    return kind == map::LineKind::path || kind == map::LineKind::road || kind == map::LineKind::rail ||
           kind == map::LineKind::ferry;
}

/// Whether every node lies on the same outer side of the box: then no segment can enter it.
bool is_clear_of(const map::Ground& ground, const map::Way& way, const map::Box& box) {
    bool west = true, east = true, south = true, north = true;
    for (const map::NodeIndex node : way.nodes) {
        const geo::Position p = ground.nodes[node].position;
        west &= p.lon_deg < box.west_deg;
        east &= p.lon_deg > box.east_deg;
        south &= p.lat_deg < box.south_deg;
        north &= p.lat_deg > box.north_deg;
    }
    return west || east || south || north;
}

} // namespace

MatchPlane::MatchPlane(geo::Position middle)
    : m_lon0_deg(middle.lon_deg), m_scale_m(k_earth_radius_m * std::cos(middle.lat_deg * k_radians_per_deg)) {
}

geo::Metres2 MatchPlane::to_plane(geo::Position p) const {
    double east_deg = p.lon_deg - m_lon0_deg;
    if (east_deg > 180) east_deg -= 360;
    if (east_deg < -180) east_deg += 360;
    const double lat = std::clamp(p.lat_deg, -89.9, 89.9) * k_radians_per_deg;
    return {m_scale_m * east_deg * k_radians_per_deg, m_scale_m * std::asinh(std::tan(lat))};
}

geo::Position MatchPlane::to_position(geo::Metres2 m) const {
    double lon_deg = m_lon0_deg + m.x_m / m_scale_m / k_radians_per_deg;
    if (lon_deg > 180) lon_deg -= 360;
    if (lon_deg < -180) lon_deg += 360;
    return {lon_deg, std::atan(std::sinh(m.y_m / m_scale_m)) / k_radians_per_deg};
}

Network::Network(const map::Ground& ground, const MatchPlane& plane, const map::Box& box) {
    std::vector<map::WayIndex> ways;
    std::vector<std::uint8_t> uses(ground.nodes.size(), 0);
    for (map::WayIndex i = 0; i < ground.ways.size(); ++i) {
        const map::Way& way = ground.ways[i];
        if (is_clear_of(ground, way, box) || !can_be_walked_along(map::line_kind(way.object.tags))) continue;
        ways.push_back(i);
        for (const map::NodeIndex node : way.nodes)
            if (uses[node] < 2) ++uses[node];
        uses[way.nodes.front()] = uses[way.nodes.back()] = 2;
    }
    for (const map::WayIndex way : ways)
        add_way(ground, way, plane, uses);
    link();
    index_segments();
}

JunctionIndex Network::junction(map::NodeIndex node) {
    return m_junctions.try_emplace(node, static_cast<JunctionIndex>(m_junctions.size())).first->second;
}

void Network::add_way(const map::Ground& ground, map::WayIndex index, const MatchPlane& plane,
                      const std::vector<std::uint8_t>& uses) {
    const map::Way& way = ground.ways[index];
    const map::Access access = map::access_of(way.object.tags);
    const auto add_edge = [&](std::size_t begin, std::size_t end) {
        Edge edge;
        edge.way = index;
        edge.access = access;
        edge.outline = way.object.tags.is("area", "yes");
        edge.first_in_way = static_cast<std::uint32_t>(begin);
        edge.first_vertex = static_cast<std::uint32_t>(m_vertices.size());
        for (std::size_t k = begin; k <= end; ++k) {
            const geo::Metres2 at = plane.to_plane(ground.nodes[way.nodes[k]].position);
            if (k > begin) edge.length_m += geo::length_m(at - m_vertices.back().at);
            m_vertices.push_back({at, edge.length_m, way.nodes[k]});
        }
        edge.vertex_count = static_cast<std::uint32_t>(end - begin + 1);
        if (edge.length_m > 0) {
            edge.from = junction(way.nodes[begin]);
            edge.to = junction(way.nodes[end]);
            m_edges.push_back(edge);
        } else {
            m_vertices.resize(edge.first_vertex);
        }
    };
    std::size_t begin = 0;
    for (std::size_t i = 1; i < way.nodes.size(); ++i) {
        if (uses[way.nodes[i]] < 2) continue;
        // A loop becomes two edges: along one alone there is no way from its last metre to its first.
        const std::size_t middle = way.nodes[begin] == way.nodes[i] ? begin + (i - begin) / 2 : begin;
        if (middle > begin) add_edge(begin, middle);
        add_edge(middle, i);
        begin = i;
    }
}

void Network::link() {
    m_arm_starts.assign(m_junctions.size() + 1, 0);
    for (const Edge& edge : m_edges) {
        ++m_arm_starts[edge.from + 1];
        if (edge.to != edge.from) ++m_arm_starts[edge.to + 1];
    }
    for (std::size_t i = 1; i < m_arm_starts.size(); ++i)
        m_arm_starts[i] += m_arm_starts[i - 1];
    m_arms.resize(m_arm_starts.back());
    std::vector<std::uint32_t> next(m_arm_starts.begin(), m_arm_starts.end() - 1);
    for (EdgeIndex i = 0; i < m_edges.size(); ++i) {
        m_arms[next[m_edges[i].from]++] = {i, m_edges[i].to};
        if (m_edges[i].to != m_edges[i].from) m_arms[next[m_edges[i].to]++] = {i, m_edges[i].from};
    }
}

void Network::index_segments() {
    for (EdgeIndex i = 0; i < m_edges.size(); ++i) {
        const auto line = vertices(m_edges[i]);
        for (std::uint32_t k = 0; k + 1 < line.size(); ++k) {
            // Along a long segment only the cells it runs through, not all of its box.
            const double length_m = line[k + 1].offset_m - line[k].offset_m;
            const int pieces = 1 + static_cast<int>(length_m / (2 * k_cell_m));
            geo::Metres2 a = line[k].at;
            for (int piece = 1; piece <= pieces; ++piece) {
                const geo::Metres2 b =
                    line[k].at + (static_cast<double>(piece) / pieces) * (line[k + 1].at - line[k].at);
                for (auto column = cell_of(std::min(a.x_m, b.x_m)); column <= cell_of(std::max(a.x_m, b.x_m));
                     ++column)
                    for (auto row = cell_of(std::min(a.y_m, b.y_m)); row <= cell_of(std::max(a.y_m, b.y_m));
                         ++row) {
                        auto& cell = m_cells[cell_key(column, row)];
                        if (cell.empty() || cell.back().edge != i || cell.back().segment != k)
                            cell.push_back({i, k});
                    }
                a = b;
            }
        }
    }
}

geo::Metres2 Network::at(const Edge& edge, double offset_m) const {
    const auto line = vertices(edge);
    auto after = std::upper_bound(line.begin(), line.end(), offset_m,
                                  [](double offset, const Vertex& v) { return offset < v.offset_m; });
    if (after == line.begin()) return line.front().at;
    if (after == line.end()) return line.back().at;
    const Vertex& a = *(after - 1);
    const double length_m = after->offset_m - a.offset_m;
    return a.at + ((offset_m - a.offset_m) / length_m) * (after->at - a.at);
}

void Network::near(geo::Metres2 p, double radius_m, std::vector<Near>& out) const {
    out.clear();
    std::vector<SegmentRef> found;
    for (auto column = cell_of(p.x_m - radius_m); column <= cell_of(p.x_m + radius_m); ++column)
        for (auto row = cell_of(p.y_m - radius_m); row <= cell_of(p.y_m + radius_m); ++row)
            if (const auto cell = m_cells.find(cell_key(column, row)); cell != m_cells.end())
                found.insert(found.end(), cell->second.begin(), cell->second.end());
    std::sort(found.begin(), found.end(), [](const SegmentRef& a, const SegmentRef& b) {
        return a.edge != b.edge ? a.edge < b.edge : a.segment < b.segment;
    });
    const SegmentRef* last = nullptr;
    for (const SegmentRef& ref : found) {
        if (last && last->edge == ref.edge && last->segment == ref.segment) continue;
        last = &ref;
        const auto line = vertices(m_edges[ref.edge]);
        const Vertex &a = line[ref.segment], &b = line[ref.segment + 1];
        const auto nearest = geo::nearest_on_segment(p, a.at, b.at);
        if (nearest.distance_m > radius_m) continue;
        const double length_m = b.offset_m - a.offset_m;
        if (length_m == 0) continue;
        const geo::Metres2 unit = (1 / length_m) * (b.at - a.at);
        const double foot_m = geo::dot(p - a.at, unit);
        const double aside_m = geo::cross(unit, p - a.at);
        const double half_m = std::sqrt(std::max(0.0, radius_m * radius_m - aside_m * aside_m));
        const double from_m = a.offset_m + std::clamp(foot_m - half_m, 0.0, length_m);
        const double to_m = a.offset_m + std::clamp(foot_m + half_m, 0.0, length_m);
        if (!out.empty() && out.back().edge == ref.edge && from_m - out.back().to_m < 1e-6) {
            out.back().to_m = to_m;
            out.back().distance_m = std::min(out.back().distance_m, nearest.distance_m);
        } else {
            out.push_back({ref.edge, from_m, to_m, nearest.distance_m});
        }
    }
}

} // namespace waywarden::match
