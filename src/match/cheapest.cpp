#include "match/cheapest.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace waywarden::match {

namespace {

constexpr double k_infinity = std::numeric_limits<double>::infinity();

constexpr auto dearer = [](const auto& a, const auto& b) { return a.cost > b.cost; };

} // namespace

Cheapest::Cheapest(const Network& network)
    : m_network(network), m_seen(network.junction_count(), 0), m_cost(network.junction_count()),
      m_by(network.junction_count()), m_before(network.junction_count()), m_start(network.junction_count()) {}

/// Nothing costs nothing, also where a metre is never walked.
double Cheapest::cost_of(EdgeIndex edge, double metres) const {
    return metres <= 0 ? 0 : metres * m_cost_per_m[edge];
}

void Cheapest::reach(JunctionIndex j, double cost, EdgeIndex by, JunctionIndex before, std::size_t from) {
    if (!(cost <= m_limit) || (m_seen[j] == m_round && m_cost[j] <= cost)) return;
    m_seen[j] = m_round;
    m_cost[j] = cost;
    m_by[j] = by;
    m_before[j] = before;
    m_start[j] = static_cast<std::uint32_t>(from);
    m_heap.push_back({cost, j});
    std::push_heap(m_heap.begin(), m_heap.end(),
                   [](const Item& a, const Item& b) { return a.cost > b.cost; });
}

void Cheapest::set_out() {
    for (std::size_t i = 0; i < m_from.size(); ++i) {
        const Place& place = m_from[i].place;
        const Edge& edge = m_network.edges()[place.edge];
        reach(edge.from, m_from[i].cost + cost_of(place.edge, place.offset_m), place.edge, k_none, i);
        reach(edge.to, m_from[i].cost + cost_of(place.edge, edge.length_m - place.offset_m), place.edge,
              k_none, i);
    }
}

/// Of the goals next to a settled junction, by way of it.
double Cheapest::cheapest_next_to(JunctionIndex j) const {
    double out = k_infinity;
    for (auto at = std::lower_bound(m_next_to.begin(), m_next_to.end(), std::pair{j, std::size_t{0}});
         at != m_next_to.end() && at->first == j; ++at)
        if (const auto found = reached(at->second)) out = std::min(out, found->cost);
    return out;
}

/// Of the goals on an edge that is set out from.
double Cheapest::cheapest_direct() const {
    double out = k_infinity;
    for (const Terminal& goal : m_goals)
        for (const Terminal& from : m_from)
            if (from.place.edge == goal.place.edge)
                out = std::min(
                    out, from.cost + goal.cost +
                             cost_of(goal.place.edge, std::abs(from.place.offset_m - goal.place.offset_m)));
    return out;
}

void Cheapest::search(std::span<const double> cost_per_m, std::span<const Terminal> from,
                      std::span<const Terminal> goals, double limit, double slack) {
    m_cost_per_m = cost_per_m;
    m_from.assign(from.begin(), from.end());
    m_goals.assign(goals.begin(), goals.end());
    m_limit = limit;
    m_heap.clear();
    ++m_round;
    set_out();
    m_next_to.clear();
    for (std::size_t i = 0; i < m_goals.size(); ++i) {
        const Edge& edge = m_network.edges()[m_goals[i].place.edge];
        m_next_to.emplace_back(edge.from, i);
        m_next_to.emplace_back(edge.to, i);
    }
    std::sort(m_next_to.begin(), m_next_to.end());
    double cheapest = cheapest_direct();
    while (!m_heap.empty()) {
        std::pop_heap(m_heap.begin(), m_heap.end(), dearer);
        const Item item = m_heap.back();
        m_heap.pop_back();
        if (item.cost > m_cost[item.junction]) continue;
        if (item.cost > cheapest + slack) break;
        cheapest = std::min(cheapest, cheapest_next_to(item.junction));
        for (const Network::Arm& arm : m_network.arms(item.junction))
            reach(arm.other, item.cost + cost_of(arm.edge, m_network.edges()[arm.edge].length_m), arm.edge,
                  item.junction, m_start[item.junction]);
    }
}

std::optional<Cheapest::Reached> Cheapest::reached(std::size_t goal) const {
    const Terminal& at = m_goals[goal];
    const Edge& edge = m_network.edges()[at.place.edge];
    std::optional<Reached> best;
    const auto offer = [&](Reached one) {
        one.cost += at.cost;
        if (one.cost <= m_limit && (!best || one.cost < best->cost)) best = one;
    };
    for (std::size_t i = 0; i < m_from.size(); ++i)
        if (m_from[i].place.edge == at.place.edge)
            offer({m_from[i].cost +
                       cost_of(at.place.edge, std::abs(m_from[i].place.offset_m - at.place.offset_m)),
                   true, false, i});
    if (m_seen[edge.from] == m_round)
        offer({m_cost[edge.from] + cost_of(at.place.edge, at.place.offset_m), false, false, 0});
    if (m_seen[edge.to] == m_round)
        offer({m_cost[edge.to] + cost_of(at.place.edge, edge.length_m - at.place.offset_m), false, true, 0});
    return best;
}

std::optional<Cheapest::Arrival> Cheapest::arrival(std::size_t goal) const {
    const auto found = reached(goal);
    if (!found) return std::nullopt;
    const Place& place = m_goals[goal].place;
    const Edge& edge = m_network.edges()[place.edge];
    Arrival out{found->cost, found->from, {}};
    const auto add = [&](EdgeIndex of, double from_m, double to_m) {
        if (from_m != to_m) out.way.push_back({of, from_m, to_m});
    };
    if (found->direct) {
        add(place.edge, m_from[found->from].place.offset_m, place.offset_m);
        return out;
    }
    add(place.edge, found->over_to ? edge.length_m : 0, place.offset_m);
    JunctionIndex j = found->over_to ? edge.to : edge.from;
    out.from = m_start[j];
    for (;; j = m_before[j]) {
        const Edge& by = m_network.edges()[m_by[j]];
        if (m_before[j] == k_none) {
            const double offset_m = m_from[m_start[j]].place.offset_m;
            // An edge that ends where it begins is set out on by its shorter side.
            const bool at_to = by.to == j && (by.from != j || offset_m > by.length_m / 2);
            add(m_by[j], offset_m, at_to ? by.length_m : 0);
            break;
        }
        const bool forward = by.to == j && by.from == m_before[j];
        add(m_by[j], forward ? 0 : by.length_m, forward ? by.length_m : 0);
    }
    std::reverse(out.way.begin(), out.way.end());
    return out;
}

} // namespace waywarden::match
