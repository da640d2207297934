#pragma once

#include "match/lattice.hpp"
#include "route/route.hpp"

#include <span>
#include <vector>

namespace waywarden::match {

/// One segment of the route on the matching plane: every drawn point with its metres along the route.
struct DrawnLine {
    std::vector<geo::Metres2> points;
    std::vector<double> at_m;             ///< ascending; points on the same spot were dropped
    geo::Metres2 at(double metres) const; ///< clamped to the ends
};

DrawnLine drawn_line(const route::Segment& segment, std::span<const double> metres_along,
                     const MatchPlane& plane);

/// Chooses the points to look at: drawn ones at least about one standard error apart, and weak ones in
/// between on long straight legs.
std::vector<Observation> observe(const DrawnLine& line, double sigma_m);

/// A first guess from nothing but the distance of drawn points to the nearest way.
ErrorModel first_guess(const Network& network, const DrawnLine& line);

/// What the line's own deviations from the walk found for it say about its error: standard error, how it runs
/// along the line, and whether the points were taken at even steps. Pieces of a line may be added one by one.
class ErrorEstimate {
  public:
    explicit ErrorEstimate(const Network& network) : m_network(network) {}
    void add(const std::vector<Observation>& line, const Solution& solution);
    /// What was learnt; what the pieces are too short to tell is taken from `used`.
    ErrorModel model(const ErrorModel& used) const;

  private:
    const Network& m_network;
    std::vector<double> m_aside_m;              ///< signed distance of drawn points to the side of the walk
    double m_together_m2 = 0, m_squares_m2 = 0; ///< of such distances of neighbours: products and squares
    std::vector<double> m_steps_m;              ///< between such neighbours, as drawn
    std::vector<std::vector<double>>
        m_runs_m; ///< metres walked at drawn points, a list for each walk without a break
};

} // namespace waywarden::match
