#include "survey/scene.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace waywarden::survey {

namespace {

constexpr double k_same_place_m = 0.01;
/// Above this many cells the cells are made larger: a walk of 60 km square still fits at 64 m.
constexpr double k_most_cells = 1e6;

geo::Position middle_of(const match::Trace& trace) {
    double west = 180, south = 90, east = -180, north = -90;
    for (const match::Stretch& stretch : trace.stretches)
        for (const match::TracePoint& p : stretch.line) {
            west = std::min(west, p.position.lon_deg);
            east = std::max(east, p.position.lon_deg);
            south = std::min(south, p.position.lat_deg);
            north = std::max(north, p.position.lat_deg);
        }
    return west > east ? geo::Position{} : geo::Position{(west + east) / 2, (south + north) / 2};
}

void append(const match::Stretch& stretch, std::size_t index, const map::Ground& ground,
            const geo::LocalFrame& frame, Walk& walk) {
    for (const match::TracePoint& p : stretch.line) {
        WalkPoint point{p.position, {}, p.at_m, p.node};
        if (p.node != map::k_no_node) point.position = ground.nodes[p.node].position;
        point.at = frame.to_plane(point.position);
        if (!walk.points.empty()) {
            WalkPoint& last = walk.points.back();
            if (length_m(point.at - last.at) < k_same_place_m) {
                if (last.node == map::k_no_node) last = point;
                continue;
            }
            walk.steps.push_back({stretch.way, index});
        }
        walk.points.push_back(point);
    }
}

std::vector<Walk> walks_of(const match::Trace& trace, const map::Ground& ground,
                           const geo::LocalFrame& frame) {
    std::vector<Walk> walks;
    for (std::size_t i = 0; i < trace.stretches.size(); ++i) {
        const bool begins = std::binary_search(trace.segment_starts.begin(), trace.segment_starts.end(), i);
        if (begins || walks.empty()) walks.emplace_back();
        append(trace.stretches[i], i, ground, frame, walks.back());
    }
    return walks;
}

} // namespace

StepRange steps_between(const Walk& walk, double from_m, double to_m) {
    // Metres along grow from point to point but for rounding, which the metre more takes in.
    constexpr double k_rounding_m = 1;
    const auto before = [](const WalkPoint& p, double m) { return p.at_m < m; };
    const auto& points = walk.points;
    const auto first = std::lower_bound(points.begin(), points.end(), from_m - k_rounding_m, before);
    const auto end = std::lower_bound(first, points.end(), to_m + k_rounding_m, before);
    const auto begin = static_cast<std::size_t>(first - points.begin());
    return {begin > 0 ? begin - 1 : 0,
            std::min(static_cast<std::size_t>(end - points.begin()), walk.steps.size())};
}

StepRange steps_of_stretch(const Walk& walk, std::size_t stretch) {
    const auto [first, end] =
        std::equal_range(walk.steps.begin(), walk.steps.end(), WalkStep{std::nullopt, stretch},
                         [](const WalkStep& a, const WalkStep& b) { return a.stretch < b.stretch; });
    return {static_cast<std::size_t>(first - walk.steps.begin()),
            static_cast<std::size_t>(end - walk.steps.begin())};
}

void PlaneBox::add(geo::Metres2 p) {
    low = {std::min(low.x_m, p.x_m), std::min(low.y_m, p.y_m)};
    high = {std::max(high.x_m, p.x_m), std::max(high.y_m, p.y_m)};
}

void PlaneBox::grow(double by_m) {
    low = low - geo::Metres2{by_m, by_m};
    high = high + geo::Metres2{by_m, by_m};
}

bool PlaneBox::meets(const PlaneBox& other) const {
    return low.x_m <= other.high.x_m && other.low.x_m <= high.x_m && low.y_m <= other.high.y_m &&
           other.low.y_m <= high.y_m;
}

bool PlaneBox::holds(geo::Metres2 p) const {
    return p.x_m >= low.x_m && p.x_m <= high.x_m && p.y_m >= low.y_m && p.y_m <= high.y_m;
}

NearCells::NearCells(const std::vector<Walk>& walks, double reach_m) {
    for (const Walk& walk : walks)
        for (const WalkPoint& p : walk.points)
            m_box.add(p.at);
    if (m_box.low.x_m > m_box.high.x_m) m_box.add({0, 0});
    m_box.grow(reach_m);
    const geo::Metres2 size = m_box.high - m_box.low;
    m_size_m = std::max(m_size_m, std::sqrt(size.x_m * size.y_m / k_most_cells));
    m_wide = static_cast<int>(size.x_m / m_size_m) + 1;
    m_high = static_cast<int>(size.y_m / m_size_m) + 1;
    m_cells.assign(static_cast<std::size_t>(m_wide) * static_cast<std::size_t>(m_high), 0);
    for (const Walk& walk : walks)
        for (std::size_t i = 0; i + 1 < walk.points.size(); ++i) {
            // A long step is taken in pieces, so that its cells follow it and do not fill its box.
            const geo::Metres2 a = walk.points[i].at, b = walk.points[i + 1].at;
            const int parts = static_cast<int>(length_m(b - a) / m_size_m) + 1;
            for (int k = 0; k < parts; ++k) {
                PlaneBox box;
                box.add(a + (static_cast<double>(k) / parts) * (b - a));
                box.add(a + (static_cast<double>(k + 1) / parts) * (b - a));
                box.grow(reach_m);
                const auto [x0, y0] = cell_of(box.low);
                const auto [x1, y1] = cell_of(box.high);
                for (int y = y0; y <= y1; ++y)
                    for (int x = x0; x <= x1; ++x)
                        if (auto& cell = m_cells[index(x, y)]; cell == 0)
                            cell = static_cast<std::uint32_t>(++m_count);
            }
        }
}

std::pair<int, int> NearCells::cell_of(geo::Metres2 p) const {
    const auto along = [this](double metres, int count) {
        return static_cast<int>(std::clamp(metres / m_size_m, 0.0, static_cast<double>(count - 1)));
    };
    return {along(p.x_m - m_box.low.x_m, m_wide), along(p.y_m - m_box.low.y_m, m_high)};
}

StepsInCells::StepsInCells(const std::vector<Walk>& walks, const NearCells& cells, double grown_by_m)
    : m_cells(cells), m_steps(cells.count()) {
    for (std::size_t w = 0; w < walks.size(); ++w)
        for (std::size_t i = 0; i < walks[w].steps.size(); ++i) {
            PlaneBox box;
            box.add(walks[w].points[i].at);
            box.add(walks[w].points[i + 1].at);
            box.grow(grown_by_m);
            m_cells.each(box, [&](std::size_t cell) {
                auto& steps = m_steps[cell];
                if (!steps.empty() && steps.back().walk == w && steps.back().end == i)
                    ++steps.back().end;
                else
                    steps.push_back({w, i, i + 1});
            });
        }
}

LineRole role_of(const map::Tags& tags) {
    static constexpr std::array<std::string_view, 10> k_lines{
        "wall",  "fence",      "hedge",      "retaining_wall", "city_wall",
        "ditch", "guard_rail", "wire_fence", "jersey_barrier", "cable_barrier"};
    switch (map::line_kind(tags)) {
    case map::LineKind::path:
        return LineRole::path;
    case map::LineKind::road:
        return tags.is("area", "yes") ? LineRole::none : LineRole::road;
    case map::LineKind::rail:
        return tags.is("area", "yes") ? LineRole::none : LineRole::rail;
    case map::LineKind::water:
        return tags.is("area", "yes") ? LineRole::none : LineRole::water;
    case map::LineKind::ferry:
        return LineRole::ferry;
    case map::LineKind::other:
        break;
    }
    if (tags.is("natural", "coastline")) return LineRole::coast;
    if (tags.is("natural", "cliff") || tags.is("natural", "earth_bank") || tags.is("man_made", "embankment"))
        return tags.is("man_made", "embankment") ? LineRole::none : LineRole::cliff;
    const auto barrier = tags.get("barrier");
    if (std::find(k_lines.begin(), k_lines.end(), barrier) != k_lines.end()) return LineRole::barrier;
    const bool gate = barrier.find("gate") != barrier.npos || barrier.find("stile") != barrier.npos ||
                      barrier == "chain" || barrier == "rope" || barrier == "bar" || barrier == "debris";
    return gate ? LineRole::gate : LineRole::none;
}

Scene::Scene(const map::Ground& ground, const match::Trace& trace, const region::Region& region,
             std::optional<Timetable> timetable)
    : m_ground(ground), m_trace(trace), m_region(region), m_timetable(std::move(timetable)),
      m_frame(middle_of(trace)), m_walks(walks_of(trace, ground, m_frame)), m_cells(m_walks, k_reach_m) {
    m_node_at.reserve(ground.nodes.size());
    for (const map::Node& node : ground.nodes)
        m_node_at.push_back(m_frame.to_plane(node.position));
    m_roles.reserve(ground.ways.size());
    for (const map::Way& w : ground.ways)
        m_roles.push_back(role_of(w.object.tags));
    index_pieces();
    index_walk_nodes();
}

void Scene::index_pieces() {
    m_pieces.resize(m_cells.count());
    for (map::WayIndex w = 0; w < m_ground.ways.size(); ++w) {
        if (m_roles[w] == LineRole::none) continue;
        const auto& nodes = m_ground.ways[w].nodes;
        for (std::uint32_t i = 0; i + 1 < nodes.size(); ++i) {
            PlaneBox box;
            box.add(m_node_at[nodes[i]]);
            box.add(m_node_at[nodes[i + 1]]);
            m_cells.each(box, [&](std::size_t cell) { m_pieces[cell].push_back({w, i}); });
        }
    }
}

void Scene::index_walk_nodes() {
    std::vector<std::uint8_t> walked(m_ground.nodes.size(), 0);
    for (const Walk& walk : m_walks)
        for (const WalkPoint& p : walk.points)
            if (p.node != map::k_no_node) walked[p.node] = 1;
    for (map::WayIndex w = 0; w < m_ground.ways.size(); ++w)
        if (m_roles[w] != LineRole::none)
            for (const map::NodeIndex node : m_ground.ways[w].nodes)
                if (walked[node]) m_ways_at.emplace_back(node, w);
    std::sort(m_ways_at.begin(), m_ways_at.end());
    m_ways_at.erase(std::unique(m_ways_at.begin(), m_ways_at.end()), m_ways_at.end());
}

std::pair<geo::Metres2, geo::Metres2> Scene::ends(LinePiece piece) const {
    const auto& nodes = m_ground.ways[piece.way].nodes;
    return {m_node_at[nodes[piece.first]], m_node_at[nodes[piece.first + 1]]};
}

void Scene::near(const PlaneBox& box, std::vector<LinePiece>& out) const {
    out.clear();
    m_cells.each(
        box, [&](std::size_t cell) { out.insert(out.end(), m_pieces[cell].begin(), m_pieces[cell].end()); });
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
}

std::vector<map::WayIndex> Scene::ways_at(map::NodeIndex node) const {
    std::vector<map::WayIndex> out;
    for (auto at = std::lower_bound(m_ways_at.begin(), m_ways_at.end(), std::pair{node, map::WayIndex{0}});
         at != m_ways_at.end() && at->first == node; ++at)
        out.push_back(at->second);
    return out;
}

std::optional<map::At> Scene::passing(double from_m, double to_m, geo::Position position) const {
    return m_timetable ? survey::passing(*m_timetable, from_m, to_m, position) : std::nullopt;
}

const map::WayFacts& Scene::facts(map::WayIndex way) const {
    const auto known = m_facts.find(way);
    return known != m_facts.end() ? known->second
                                  : m_facts.emplace(way, map::read_way(tags(way), m_region)).first->second;
}

} // namespace waywarden::survey
