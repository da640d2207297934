#pragma once

#include "match/network.hpp"

#include <optional>
#include <span>
#include <vector>

/// The cheapest walk from any of several places to any of several others.
namespace waywarden::match {

/// A piece of one edge, walked from one offset to another; to_m < from_m against its direction.
struct Piece {
    EdgeIndex edge = 0;
    double from_m = 0, to_m = 0;
};

/// A place to set out from or to arrive at, and what it costs beside the walk.
struct Terminal {
    Place place;
    double cost = 0;
};

/// Dijkstra's algorithm from several places at once, in arrays kept from call to call, over edges that cost
/// something a metre (infinity: never).
class Cheapest {
  public:
    explicit Cheapest(const Network& network);

    /// Searches until no goal can be had any more for the cost of the cheapest and `slack` more, and never
    /// beyond `limit`.
    void search(std::span<const double> cost_per_m, std::span<const Terminal> from,
                std::span<const Terminal> goals, double limit, double slack);

    struct Arrival {
        double cost = 0;        ///< with that of both terminals
        std::size_t from = 0;   ///< index of the place set out from
        std::vector<Piece> way; ///< may be empty where the two places are one
    };
    /// How a goal of the last search is reached; none: not within the limit.
    std::optional<Arrival> arrival(std::size_t goal) const;

  private:
    struct Item {
        double cost;
        JunctionIndex junction;
    };
    struct Reached { ///< how a goal is arrived at
        double cost;
        bool direct;      ///< without passing a junction
        bool over_to;     ///< else over which end of its edge
        std::size_t from; ///< where direct
    };
    static constexpr JunctionIndex k_none = static_cast<JunctionIndex>(-1);

    void reach(JunctionIndex j, double cost, EdgeIndex by, JunctionIndex before, std::size_t from);
    void set_out();
    double cheapest_next_to(JunctionIndex j) const;
    double cheapest_direct() const;
    double cost_of(EdgeIndex edge, double metres) const;
    std::optional<Reached> reached(std::size_t goal) const;

    const Network& m_network;
    std::span<const double> m_cost_per_m;
    std::vector<Terminal> m_from, m_goals;
    std::vector<std::pair<JunctionIndex, std::size_t>> m_next_to; ///< goals by the junctions next to them
    double m_limit = 0;
    std::uint32_t m_round = 0;
    std::vector<std::uint32_t> m_seen;
    std::vector<double> m_cost;
    std::vector<EdgeIndex> m_by;
    std::vector<JunctionIndex> m_before; ///< k_none: straight from the place set out from
    std::vector<std::uint32_t> m_start;
    std::vector<Item> m_heap;
};

} // namespace waywarden::match
