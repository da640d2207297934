#include "match/reach.hpp"

#include <algorithm>

namespace waywarden::match {

Reach::Reach(const Network& network)
    : m_network(network), m_seen(network.junction_count(), 0), m_distance_m(network.junction_count()),
      m_by(network.junction_count()), m_before(network.junction_count()) {}

void Reach::search(JunctionIndex start, double limit_m, EdgeIndex banned) {
    const auto farther = [](const Item& a, const Item& b) { return a.distance_m > b.distance_m; };
    ++m_round;
    m_heap.assign(1, {0, start});
    m_seen[start] = m_round;
    m_distance_m[start] = 0;
    m_by[start] = k_no_edge;
    m_before[start] = start;
    while (!m_heap.empty()) {
        std::pop_heap(m_heap.begin(), m_heap.end(), farther);
        const Item item = m_heap.back();
        m_heap.pop_back();
        if (item.distance_m > m_distance_m[item.junction]) continue;
        for (const Network::Arm& arm : m_network.arms(item.junction)) {
            if (item.junction == start && arm.edge == banned) continue;
            const double distance_m = item.distance_m + m_network.edges()[arm.edge].length_m;
            if (distance_m > limit_m) continue;
            if (m_seen[arm.other] == m_round && m_distance_m[arm.other] <= distance_m) continue;
            m_seen[arm.other] = m_round;
            m_distance_m[arm.other] = distance_m;
            m_by[arm.other] = arm.edge;
            m_before[arm.other] = item.junction;
            m_heap.push_back({distance_m, arm.other});
            std::push_heap(m_heap.begin(), m_heap.end(), farther);
        }
    }
}

} // namespace waywarden::match
