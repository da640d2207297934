#pragma once

#include "match/network.hpp"

#include <vector>

namespace waywarden::match {

/// Shortest distances from one junction to those around it (Dijkstra), in arrays that are kept from call to
/// call so that a search costs what it visits and not the size of the network.
class Reach {
  public:
    explicit Reach(const Network& network);

    /// Searches from `start` up to `limit_m`, never over `banned` as the first edge.
    void search(JunctionIndex start, double limit_m, EdgeIndex banned);
    double distance_m(JunctionIndex j) const { return m_seen[j] == m_round ? m_distance_m[j] : k_unreached; }
    EdgeIndex last_edge(JunctionIndex j) const { return m_by[j]; } ///< k_no_edge at the start
    JunctionIndex before(JunctionIndex j) const { return m_before[j]; }

    static constexpr double k_unreached = 1e18;
    static constexpr EdgeIndex k_no_edge = static_cast<EdgeIndex>(-1);

  private:
    struct Item {
        double distance_m;
        JunctionIndex junction;
    };
    const Network& m_network;
    std::uint32_t m_round = 0;
    std::vector<std::uint32_t> m_seen;
    std::vector<double> m_distance_m;
    std::vector<EdgeIndex> m_by;
    std::vector<JunctionIndex> m_before;
    std::vector<Item> m_heap;
};

} // namespace waywarden::match
