#include "match/chain.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace waywarden::match {

namespace {

// All of these: common practice, no source.
constexpr double k_outside = 100, k_outside_per_m = 4; // effort of a spot outside its square
constexpr double k_off_per_m = 3;                      // effort of a metre over open ground
constexpr double k_round = 4, k_round_m = 500; // a way round this many times as long, and more, is not taken
constexpr double k_search = 12, k_search_m = 1000; // effort a metre as the crow flies
constexpr double k_fit = 0.05;                     // lengths measured on a map are no better than that
constexpr double k_misfit = 0.02, k_misfit_weight = 5;

double spot_cost(const Spot& spot) {
    if (spot.off) return k_off_per_m * spot.off_m;
    return spot.outside_m > 0 ? k_outside + k_outside_per_m * spot.outside_m : 0;
}

/// What one leg leaves for the way back: how each spot of its end is best come to.
struct Step {
    std::vector<std::size_t> from;
    std::vector<std::optional<Walked>> walk;
    std::optional<Walked> round; ///< where straight
};

std::size_t spot_count(const Station& station) {
    return std::max<std::size_t>(1, station.spots.size());
}

/// By how much of itself the given length is missed, beyond what measuring on a map explains.
double misfit(double length_m, const LegGiven& given) {
    if (!given.distance_m || *given.distance_m <= 0) return 0;
    const double off_m = std::abs(length_m - *given.distance_m) - given.distance_step_m / 2;
    return std::max(0.0, off_m / *given.distance_m - k_fit);
}

/// Whether a team rather goes straight than by the best way along ways.
bool goes_straight(double straight_m, double round_m, const LegGiven& given) {
    if (round_m <= k_round * straight_m + k_round_m) return false;
    return !given.distance_m ||
           std::abs(*given.distance_m - straight_m) < std::abs(*given.distance_m - round_m);
}

class Chain {
  public:
    Chain(const ChainGround& on, const std::vector<Station>& stations, const std::vector<LegGiven>& given)
        : m_on(on), m_stations(stations), m_given(given) {
        for (const Effort& effort : on.efforts)
            m_cost_per_m.push_back(effort.per_m);
    }

    std::vector<ChainLeg> solve() {
        m_cost.assign(spot_count(m_stations.front()), 0);
        for (std::size_t i = 0; i < m_stations.front().spots.size(); ++i)
            m_cost[i] = spot_cost(m_stations.front().spots[i]);
        for (std::size_t k = 0; k + 1 < m_stations.size(); ++k)
            step(k);
        std::vector<ChainLeg> out(m_stations.size() - 1);
        auto spot = static_cast<std::size_t>(std::min_element(m_cost.begin(), m_cost.end()) - m_cost.begin());
        for (std::size_t k = out.size(); k-- > 0;) {
            Step& step = m_steps[k];
            out[k] = {step.from[spot], spot, std::move(step.walk[spot]), std::move(step.round)};
            spot = out[k].from;
        }
        for (std::size_t k = 0; k < out.size(); ++k)
            fit(k, out[k]);
        return out;
    }

  private:
    void step(std::size_t k) {
        const Station &a = m_stations[k], &b = m_stations[k + 1];
        Step step;
        step.from.assign(spot_count(b), 0);
        step.walk.resize(spot_count(b));
        std::vector<double> cost(spot_count(b), std::numeric_limits<double>::infinity());
        const double straight_m = geo::length_m(b.square.middle() - a.square.middle());
        bool straight = true;
        if (!a.spots.empty() && !b.spots.empty()) {
            step.round = along_ways(a, b, straight_m, step, cost);
            straight = !step.round || goes_straight(straight_m, step.round->length_m, m_given[k]);
        }
        if (straight) go_straight(a, b, step, cost);
        // Only differences count from here on.
        const double least = *std::min_element(cost.begin(), cost.end());
        for (double& one : cost)
            one -= least;
        m_cost = std::move(cost);
        m_steps.push_back(std::move(step));
    }

    /// The cheapest walk.
    std::optional<Walked> along_ways(const Station& a, const Station& b, double straight_m, Step& step,
                                     std::vector<double>& cost) {
        std::vector<Terminal> from;
        for (std::size_t i = 0; i < a.spots.size(); ++i)
            from.push_back({a.spots[i].place, m_cost[i]});
        const double slack = 8 * b.square.half_m() + 300;
        m_on.cheapest.search(m_cost_per_m, from, terminals_of(b), k_search * (straight_m + k_search_m),
                             slack);
        std::optional<std::size_t> best;
        for (std::size_t j = 0; j < b.spots.size(); ++j) {
            auto found = m_on.cheapest.arrival(j);
            if (!found) continue;
            cost[j] = found->cost;
            step.from[j] = found->from;
            step.walk[j] = Walked{std::move(found->way), found->from, j, 0};
            step.walk[j]->length_m = length_of(step.walk[j]->way);
            if (!best || cost[j] < cost[*best]) best = j;
        }
        return best ? step.walk[*best] : std::nullopt;
    }

    void go_straight(const Station& a, const Station& b, Step& step, std::vector<double>& cost) {
        for (std::size_t j = 0; j < cost.size(); ++j) {
            step.walk[j].reset();
            cost[j] = std::numeric_limits<double>::infinity();
            for (std::size_t i = 0; i < m_cost.size(); ++i) {
                const double one = m_cost[i] + k_off_per_m * geo::length_m(b.at(j) - a.at(i)) +
                                   (b.spots.empty() ? 0 : spot_cost(b.spots[j]));
                if (one >= cost[j]) continue;
                cost[j] = one;
                step.from[j] = i;
            }
        }
    }

    double effort(const Walked& walk) const {
        double out = 1; // a walk of no length is nothing to divide by
        for (const Piece& piece : walk.way)
            out += std::abs(piece.to_m - piece.from_m) * m_cost_per_m[piece.edge];
        return out;
    }

    /// Another walk between the same spots, where the given length speaks for it.
    void fit(std::size_t k, ChainLeg& leg) {
        if (!leg.walk || misfit(leg.walk->length_m, m_given[k]) < k_misfit) return;
        const double longest_m = std::min(1.1 * *m_given[k].distance_m, 4 * leg.walk->length_m + k_search_m);
        const Terminal from{m_stations[k].spots[leg.from].place, 0},
            to{m_stations[k + 1].spots[leg.to].place, 0};
        const OtherWays others = other_ways(m_on.network, m_on.efforts, m_on.cheapest, {&from, 1}, {&to, 1},
                                            *leg.walk, longest_m, 6);
        const double plain = effort(*leg.walk);
        const auto score = [&](const Walked& walk) {
            return effort(walk) / plain + k_misfit_weight * misfit(walk.length_m, m_given[k]);
        };
        for (Walked other : others.walks) {
            if (score(other) >= score(*leg.walk)) continue;
            other.from = leg.from;
            other.to = leg.to;
            leg.walk = std::move(other);
        }
    }

    const ChainGround& m_on;
    const std::vector<Station>& m_stations;
    const std::vector<LegGiven>& m_given;
    std::vector<double> m_cost_per_m, m_cost;
    std::vector<Step> m_steps;
};

} // namespace

geo::Metres2 Station::at(std::size_t spot) const {
    return spots.empty() || spots[spot].off ? square.middle() : spots[spot].place.at;
}

geo::Metres2 Station::on_way(std::size_t spot) const {
    return spots.empty() ? square.middle() : spots[spot].place.at;
}

std::vector<Terminal> terminals_of(const Station& station) {
    std::vector<Terminal> out;
    for (const Spot& spot : station.spots)
        out.push_back({spot.place, spot_cost(spot)});
    return out;
}

std::vector<ChainLeg> likeliest_chain(const ChainGround& on, const std::vector<Station>& stations,
                                      const std::vector<LegGiven>& given) {
    return Chain(on, stations, given).solve();
}

} // namespace waywarden::match
