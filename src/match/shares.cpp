#include "match/layers.hpp"

#include <algorithm>
#include <cmath>

namespace waywarden::match {

namespace {

/// Scales a layer's sums so that the largest is one: only their ratios matter, and long chains would
/// underflow.
void rescale(std::vector<ByHeading>& sums) {
    double most = 0;
    for (const ByHeading& sum : sums)
        most = std::max({most, sum[0], sum[1]});
    if (most > 0)
        for (ByHeading& sum : sums)
            sum = {sum[0] / most, sum[1] / most};
}

} // namespace

void find_shares(const Network& network, const std::vector<Layer>& layers, Solution& solution) {
    const std::size_t count = layers.size();
    std::vector<std::vector<ByHeading>> forward(count), backward(count);
    for (std::size_t k = 0; k < count; ++k) {
        forward[k].assign(layers[k].score.size(), {0, 0});
        backward[k].assign(layers[k].score.size(), {0, 0});
    }
    for (std::size_t i = 0; i < layers[0].score.size(); ++i)
        for (const std::size_t h : {0U, 1U})
            forward[0][i][h] = std::exp(std::max(-700.0, layers[0].score[i][h]));
    rescale(forward[0]);
    for (auto& end : backward[count - 1])
        end.fill(1);
    std::vector<std::vector<float>> odds(count);
    for (std::size_t k = 1; k < count; ++k) {
        for (const Arc& arc : layers[k].arcs) {
            odds[k].push_back(std::exp(arc.weight));
            forward[k][arc.to][arc.to_heading] +=
                forward[k - 1][arc.from][arc.from_heading] * static_cast<double>(odds[k].back());
        }
        rescale(forward[k]);
    }
    for (std::size_t k = count; k-- > 1;) {
        for (std::size_t a = 0; a < odds[k].size(); ++a) {
            const Arc& arc = layers[k].arcs[a];
            backward[k - 1][arc.from][arc.from_heading] +=
                backward[k][arc.to][arc.to_heading] * static_cast<double>(odds[k][a]);
        }
        rescale(backward[k - 1]);
    }
    solution.shares.resize(count);
    for (std::size_t k = 0; k < count; ++k) {
        const Layer& layer = layers[k];
        double total = 0;
        for (std::size_t i = 0; i < layer.score.size(); ++i)
            total += forward[k][i][0] * backward[k][i][0] + forward[k][i][1] * backward[k][i][1];
        auto& shares = solution.shares[k];
        for (std::size_t i = 0; i < layer.score.size(); ++i) {
            const double p = (forward[k][i][0] * backward[k][i][0] + forward[k][i][1] * backward[k][i][1]) /
                             std::max(1e-300, total);
            if (p < 1e-4) continue;
            const map::WayIndex way =
                i == layer.off() ? WayShare::none : network.edges()[layer.candidates[i].place.edge].way;
            const auto known =
                std::find_if(shares.begin(), shares.end(), [way](const WayShare& s) { return s.way == way; });
            if (known == shares.end())
                shares.push_back({way, p});
            else
                known->probability += p;
        }
        std::sort(shares.begin(), shares.end(),
                  [](const WayShare& a, const WayShare& b) { return a.probability > b.probability; });
    }
}

} // namespace waywarden::match
