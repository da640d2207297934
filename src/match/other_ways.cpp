#include "match/other_ways.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <unordered_map>

namespace waywarden::match {

namespace {

constexpr int k_rounds = 8;
constexpr double k_dearer = 1.6;
constexpr double k_aside_m = 30, k_step_m = 15;
constexpr double k_apart_share = 0.2, k_apart_m = 300;
constexpr double k_forbidden_m = 50; // less than that is a gate's width of bad mapping

/// Places every few metres along a walk, each with the metres it stands for.
void sample(const Network& network, const std::vector<Piece>& walk,
            const std::function<void(geo::Metres2, double, EdgeIndex)>& use) {
    for (const Piece& piece : walk) {
        const double length_m = std::abs(piece.to_m - piece.from_m);
        const int steps = 1 + static_cast<int>(length_m / k_step_m);
        for (int i = 0; i < steps; ++i)
            use(network.at(network.edges()[piece.edge],
                           piece.from_m + (piece.to_m - piece.from_m) * (i + 0.5) / steps),
                length_m / steps, piece.edge);
    }
}

/// Whether places lie along a walk, by cells of its own samples.
class Along {
  public:
    Along(const Network& network, const std::vector<Piece>& walk) {
        sample(network, walk,
               [&](geo::Metres2 at, double, EdgeIndex) { m_cells[key(at, 0, 0)].push_back(at); });
    }
    bool near(geo::Metres2 p) const {
        for (int dx = -1; dx <= 1; ++dx)
            for (int dy = -1; dy <= 1; ++dy)
                if (const auto cell = m_cells.find(key(p, dx, dy)); cell != m_cells.end())
                    for (const geo::Metres2 at : cell->second)
                        if (geo::length_m(p - at) <= k_reach_m) return true;
        return false;
    }

  private:
    // Samples of the other walk are up to half a step off the foot of the perpendicular.
    static constexpr double k_reach_m = k_aside_m + 1, k_cell_m = 32;
    static std::int64_t key(geo::Metres2 p, int dx, int dy) {
        return (static_cast<std::int64_t>(std::floor(p.x_m / k_cell_m)) + dx) * (std::int64_t{1} << 32) +
               static_cast<std::int64_t>(std::floor(p.y_m / k_cell_m)) + dy;
    }
    std::unordered_map<std::int64_t, std::vector<geo::Metres2>> m_cells;
};

double apart_from(const Network& network, const std::vector<Piece>& walk, const Along& other) {
    double out_m = 0;
    sample(network, walk, [&](geo::Metres2 at, double metres, EdgeIndex) {
        if (!other.near(at)) out_m += metres;
    });
    return out_m;
}

std::string words_for(const map::Ground& ground, const Edge& edge) {
    const map::Tags& tags = ground.ways[edge.way].object.tags;
    for (const char* key : {"name", "ref", "prow_ref"})
        if (tags.has(key)) return std::string(tags.get(key));
    switch (edge.access) {
    case map::Access::minor_road:
    case map::Access::major_road:
        return "a road without a name";
    case map::Access::track:
        return "a track";
    case map::Access::ferry:
        return "a ferry";
    default:
        return "a path";
    }
}

double forbidden_m(const std::vector<Piece>& walk, const std::vector<Effort>& efforts) {
    double out_m = 0;
    for (const Piece& piece : walk)
        if (efforts[piece.edge].forbidden) out_m += std::abs(piece.to_m - piece.from_m);
    return out_m;
}

/// Nobody who plans a leg goes the same piece to and fro.
bool doubles_back(const std::vector<Piece>& walk) {
    for (std::size_t i = 0; i + 1 < walk.size(); ++i)
        if (walk[i].edge == walk[i + 1].edge) return true;
    return false;
}

} // namespace

double length_of(const std::vector<Piece>& way) {
    double out_m = 0;
    for (const Piece& piece : way)
        out_m += std::abs(piece.to_m - piece.from_m);
    return out_m;
}

double apart_m(const Network& network, const std::vector<Piece>& walk, const std::vector<Piece>& other) {
    return apart_from(network, walk, Along(network, other));
}

std::string goes_by(const Network& network, const map::Ground& ground, const std::vector<Piece>& walk,
                    const std::vector<Piece>& other) {
    const Along along(network, other);
    std::map<std::string, double> metres_by;
    sample(network, walk, [&](geo::Metres2 at, double metres, EdgeIndex edge) {
        if (!along.near(at)) metres_by[words_for(ground, network.edges()[edge])] += metres;
    });
    const auto most = std::max_element(metres_by.begin(), metres_by.end(),
                                       [](const auto& a, const auto& b) { return a.second < b.second; });
    return most == metres_by.end() ? "" : most->first;
}

OtherWays other_ways(const Network& network, const std::vector<Effort>& efforts, Cheapest& cheapest,
                     std::span<const Terminal> from, std::span<const Terminal> goals, const Walked& likeliest,
                     double longest_m, std::size_t most) {
    std::vector<double> cost_per_m(efforts.size());
    for (std::size_t i = 0; i < efforts.size(); ++i)
        cost_per_m[i] = efforts[i].forbidden || efforts[i].per_m > 3 ? efforts[i].per_m : 1;
    const bool forbidden_too = forbidden_m(likeliest.way, efforts) > k_forbidden_m;
    std::vector<Along> taken;
    OtherWays out;
    const auto take = [&](const std::vector<Piece>& way) {
        taken.emplace_back(network, way);
        for (const Piece& piece : way)
            cost_per_m[piece.edge] *= k_dearer;
    };
    take(likeliest.way);
    for (int round = 0; round < k_rounds && !out.more; ++round) {
        cheapest.search(cost_per_m, from, goals, 12 * longest_m, 0);
        std::optional<Cheapest::Arrival> best;
        Walked walk;
        for (std::size_t i = 0; i < goals.size(); ++i)
            if (auto found = cheapest.arrival(i); found && (!best || found->cost < best->cost)) {
                best = std::move(found);
                walk.to = i;
            }
        if (!best) break;
        walk.from = best->from;
        walk.way = std::move(best->way);
        walk.length_m = length_of(walk.way);
        const double enough_m = std::min(k_apart_m, k_apart_share * walk.length_m);
        const bool differs = std::all_of(taken.begin(), taken.end(), [&](const Along& other) {
            return apart_from(network, walk.way, other) >= enough_m;
        });
        const bool fits = walk.length_m > 0 && walk.length_m <= longest_m && !doubles_back(walk.way) &&
                          (forbidden_too || forbidden_m(walk.way, efforts) <= k_forbidden_m);
        if (differs && fits) {
            take(walk.way);
            if (out.walks.size() == most)
                out.more = true;
            else
                out.walks.push_back(std::move(walk));
        } else {
            for (const Piece& piece : walk.way)
                cost_per_m[piece.edge] *= k_dearer;
        }
    }
    std::stable_sort(out.walks.begin(), out.walks.end(),
                     [](const Walked& a, const Walked& b) { return a.length_m < b.length_m; });
    return out;
}

} // namespace waywarden::match
