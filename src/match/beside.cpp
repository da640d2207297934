#include "match/beside.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace waywarden::match {

namespace {

constexpr double k_map_error_m = 5; // an axis; by how much maps draw a way aside: common practice, no source
constexpr double k_beside_m = 15;   // farther off it is another way, whatever its shape
constexpr double k_around_m = 30;   // of the line before and after, where it comes back to the way
constexpr double k_sample_m = 5;
constexpr double k_joined_m = 0.5;

/// Observations [first, end): those off any way, with one on either side, or the two beside a hop.
struct Gap {
    std::size_t first, end;
};

std::vector<Gap> gaps_of(const Solution& solution) {
    std::vector<Gap> gaps;
    const auto& chosen = solution.chosen;
    for (std::size_t k = 0; k < chosen.size(); ++k) {
        if (chosen[k].on_network && chosen[k].move != Move::over_open_ground) continue;
        if (!gaps.empty() && gaps.back().end >= k)
            gaps.back().end = k + 1;
        else
            gaps.push_back({k > 0 ? k - 1 : 0, k + 1});
    }
    return gaps;
}

void set_map_error(std::vector<Observation>& line, const std::vector<Gap>& gaps, double error_m) {
    for (const Gap& gap : gaps) {
        const double from_m = line[gap.first].at_m - k_around_m, to_m = line[gap.end - 1].at_m + k_around_m;
        for (std::size_t k = gap.first; k-- > 0 && line[k].at_m >= from_m;)
            line[k].map_error_m = error_m;
        for (std::size_t k = gap.first; k < line.size() && line[k].at_m <= to_m; ++k)
            line[k].map_error_m = error_m;
    }
}

bool keeps_beside(const std::vector<Observation>& line, const Solution& solution, const Gap& gap) {
    double walked_m = 0;
    for (std::size_t k = gap.first; k < gap.end; ++k) {
        const Chosen& here = solution.chosen[k];
        if (!here.on_network || (k > gap.first && here.move == Move::over_open_ground)) return false;
        if (geo::length_m(line[k].at - here.place.at) > k_beside_m) return false;
        if (k > gap.first) walked_m += here.walked_m;
    }
    const double drawn_m = line[gap.end - 1].at_m - line[gap.first].at_m;
    return std::abs(walked_m - drawn_m) < 0.1 * drawn_m + k_beside_m;
}

using Line = std::vector<geo::Metres2>;

void sample(const Network& network, EdgeIndex edge, double from_m, double to_m, Line& out) {
    const int pieces = std::max(1, static_cast<int>(std::abs(to_m - from_m) / k_sample_m));
    for (int i = 1; i <= pieces; ++i)
        out.push_back(network.at(network.edges()[edge], from_m + (to_m - from_m) * i / pieces));
}

struct Bounds {
    geo::Metres2 low{1e300, 1e300}, high{-1e300, -1e300};

    void add(const Line& line) {
        for (const geo::Metres2 p : line) {
            low = {std::min(low.x_m, p.x_m), std::min(low.y_m, p.y_m)};
            high = {std::max(high.x_m, p.x_m), std::max(high.y_m, p.y_m)};
        }
    }
    bool meets(const Bounds& other) const {
        return low.x_m <= other.high.x_m && low.y_m <= other.high.y_m && high.x_m >= other.low.x_m &&
               high.y_m >= other.low.y_m;
    }
};

/// The line as drawn, from the way and back to it, and the walk along the ways.
struct TwoLines {
    Line drawn, walked;
    Bounds bounds;
};

TwoLines lines_of(const Network& network, const std::vector<Observation>& line, const Solution& solution,
                  const Gap& gap) {
    TwoLines two;
    two.drawn.push_back(solution.chosen[gap.first].place.at);
    two.walked.push_back(solution.chosen[gap.first].place.at);
    for (std::size_t k = gap.first; k < gap.end; ++k) {
        const Chosen& here = solution.chosen[k];
        two.drawn.push_back(line[k].at);
        if (k == gap.first) continue;
        const Place& before = solution.chosen[k - 1].place;
        const auto end_m = [&](EdgeIndex edge, bool by_to) {
            return by_to ? network.edges()[edge].length_m : 0;
        };
        if (here.move == Move::along_edge) {
            sample(network, before.edge, before.offset_m, here.place.offset_m, two.walked);
            continue;
        }
        sample(network, before.edge, before.offset_m, end_m(before.edge, here.leaves_by_to), two.walked);
        sample(network, here.place.edge, end_m(here.place.edge, here.arrives_by_to), here.place.offset_m,
               two.walked);
    }
    two.drawn.push_back(solution.chosen[gap.end - 1].place.at);
    two.bounds.add(two.drawn);
    two.bounds.add(two.walked);
    return two;
}

bool cross(geo::Metres2 a, geo::Metres2 b, geo::Metres2 c, geo::Metres2 d) {
    const auto left = [](geo::Metres2 from, geo::Metres2 to, geo::Metres2 p) {
        return geo::cross(to - from, p - from) >= 0;
    };
    return left(a, b, c) != left(a, b, d) && left(c, d, a) != left(c, d, b);
}

int crossings(const Line& a, const Line& b) {
    int count = 0;
    for (std::size_t i = 0; i + 1 < a.size(); ++i)
        for (std::size_t k = 0; k + 1 < b.size(); ++k)
            count += cross(a[i], a[i + 1], b[k], b[k + 1]);
    return count;
}

bool is_near(const Line& points, const Line& line) {
    return std::any_of(points.begin(), points.end(), [&](geo::Metres2 p) {
        for (std::size_t i = 0; i + 1 < line.size(); ++i)
            if (geo::nearest_on_segment(p, line[i], line[i + 1]).distance_m < k_joined_m) return true;
        return false;
    });
}

/// Whether a way joins the walk, or is walked itself.
bool joins(const Line& way, const Line& walked) {
    return is_near(way, walked) || is_near(walked, way);
}

enum class Divides { no, always, unless_joined };

/// Roads and paths that join the walk do not lie between it and the line.
Divides divides(const map::Tags& tags) {
    for (const auto* key : {"waterway", "barrier", "railway"})
        if (tags.has(key)) return Divides::always;
    const auto natural = tags.get("natural");
    if (natural == "coastline" || natural == "cliff") return Divides::always;
    return tags.has("highway") ? Divides::unless_joined : Divides::no;
}

/// Ground whose edge divides: water, and where nobody strays for want of a few metres.
bool is_kept_out_of(const map::Tags& tags) {
    static constexpr std::array<std::string_view, 7> k_landuse{
        "reservoir", "basin", "military", "quarry", "construction", "landfill", "railway"};
    for (const auto* key : {"waterway", "military", "aeroway", "hazard"})
        if (tags.has(key)) return true;
    return tags.is("natural", "water") ||
           std::find(k_landuse.begin(), k_landuse.end(), tags.get("landuse")) != k_landuse.end();
}

/// Whether line and walk stand otherwise towards a line of the map: more often across it the one than the
/// other.
class Divided {
  public:
    explicit Divided(const std::vector<TwoLines>& two) : m_two(two), m_is(two.size(), false) {}

    void look_at(const Line& divider, bool unless_joined) {
        Bounds bounds;
        bounds.add(divider);
        for (std::size_t i = 0; i < m_two.size(); ++i) {
            const TwoLines& two = m_two[i];
            if (m_is[i] || !bounds.meets(two.bounds)) continue;
            m_is[i] = crossings(two.drawn, divider) != crossings(two.walked, divider) &&
                      !(unless_joined && joins(divider, two.walked));
        }
    }
    bool is(std::size_t gap) const { return m_is[gap]; }

  private:
    const std::vector<TwoLines>& m_two;
    std::vector<bool> m_is;
};

Line on_plane(const MatchGround& on, const map::Way& way) {
    Line line;
    line.reserve(way.nodes.size());
    for (const map::NodeIndex node : way.nodes)
        line.push_back(on.plane.to_plane(on.ground.nodes[node].position));
    return line;
}

Line on_plane(const MatchGround& on, const std::vector<geo::Position>& ring) {
    Line line;
    line.reserve(ring.size());
    for (const geo::Position p : ring)
        line.push_back(on.plane.to_plane(p));
    return line;
}

std::vector<Gap> undivided(const MatchGround& on, const std::vector<Observation>& line,
                           const Solution& solution, std::vector<Gap> gaps) {
    std::vector<TwoLines> two;
    two.reserve(gaps.size());
    for (const Gap& gap : gaps)
        two.push_back(lines_of(on.network, line, solution, gap));
    Divided divided(two);
    for (const map::Way& way : on.ground.ways)
        if (const Divides how = divides(way.object.tags); how != Divides::no)
            divided.look_at(on_plane(on, way), how == Divides::unless_joined);
    for (const map::Area& area : on.ground.areas) {
        if (!is_kept_out_of(area.object.tags)) continue;
        for (const auto& polygon : area.polygons) {
            divided.look_at(on_plane(on, polygon.outer), false);
            for (const auto& inner : polygon.inner)
                divided.look_at(on_plane(on, inner), false);
        }
    }
    std::vector<Gap> out;
    for (std::size_t i = 0; i < gaps.size(); ++i)
        if (!divided.is(i)) out.push_back(gaps[i]);
    return out;
}

} // namespace

Solution look_beside(const MatchGround& on, const ErrorModel& model, std::vector<Observation>& line,
                     Solution solution) {
    const std::vector<Gap> gaps = gaps_of(solution);
    if (model.sigma_m >= k_map_error_m || gaps.empty()) return solution;
    set_map_error(line, gaps, k_map_error_m);
    Solution wide = solve(on.network, line, model, true);
    std::vector<Gap> beside;
    std::copy_if(gaps.begin(), gaps.end(), std::back_inserter(beside),
                 [&](const Gap& gap) { return keeps_beside(line, wide, gap); });
    if (!beside.empty()) beside = undivided(on, line, wide, std::move(beside));
    if (beside.size() == gaps.size()) return wide;
    set_map_error(line, gaps, 0);
    if (beside.empty()) return solution;
    set_map_error(line, beside, k_map_error_m);
    return solve(on.network, line, model, true);
}

} // namespace waywarden::match
