#include "match/in_square.hpp"

#include <algorithm>
#include <cmath>

namespace waywarden::match {

namespace {

constexpr double k_misread_m = 25;    // 1 mm on a map at 1:25 000: common practice, no source
constexpr double k_farthest_m = 1000; // beyond this the nearest way says nothing of a checkpoint
constexpr double k_nearly = 1.5;      // ways up to this much farther than the nearest are in question too
constexpr double k_step_m = 5;        // how closely a way is looked at within a square
constexpr double k_same_m = 0.5;

/// The nearest place to the middle that is least outside, along the run.
Spot best_of_run(const Network::Near& run, const SquareOnPlane& square, const Network& network) {
    const Edge& edge = network.edges()[run.edge];
    Spot best;
    double best_aside_m = 0;
    bool any = false;
    const auto look = [&](double offset_m) {
        const geo::Metres2 at = network.at(edge, offset_m);
        const double outside_m = square.outside_m(at), aside_m = geo::length_m(at - square.middle());
        if (any && (outside_m > best.outside_m || (outside_m == best.outside_m && aside_m >= best_aside_m)))
            return;
        any = true;
        best.place = {run.edge, offset_m, at};
        best.outside_m = outside_m;
        best_aside_m = aside_m;
    };
    const int steps = 1 + static_cast<int>((run.to_m - run.from_m) / k_step_m);
    for (int i = 0; i <= steps; ++i)
        look(run.from_m + (run.to_m - run.from_m) * i / steps);
    for (const Vertex& vertex : network.vertices(edge))
        if (vertex.offset_m > run.from_m && vertex.offset_m < run.to_m) look(vertex.offset_m);
    return best;
}

/// A junction is a place of all the ways that meet there.
void add(const Spot& spot, std::vector<Spot>& out) {
    for (const Spot& other : out)
        if (geo::length_m(other.place.at - spot.place.at) < k_same_m) return;
    out.push_back(spot);
}

std::vector<Network::Near> walked_runs(geo::Metres2 at, double radius_m, const Network& network,
                                       const std::vector<Effort>& efforts) {
    std::vector<Network::Near> out;
    network.near(at, radius_m, out);
    std::erase_if(out, [&](const Network::Near& run) { return std::isinf(efforts[run.edge].per_m); });
    return out;
}

std::vector<Spot> nearest_ways(const SquareOnPlane& square, const Network& network,
                               const std::vector<Effort>& efforts) {
    std::vector<Spot> out;
    for (double radius_m = 2 * square.half_m() + 100; out.empty() && radius_m < 2 * k_farthest_m;
         radius_m *= 2) {
        const auto runs = walked_runs(square.middle(), std::min(radius_m, k_farthest_m), network, efforts);
        if (runs.empty()) continue;
        double nearest_m = runs.front().distance_m;
        for (const auto& run : runs)
            nearest_m = std::min(nearest_m, run.distance_m);
        for (const auto& run : runs) {
            if (run.distance_m > k_nearly * nearest_m) continue;
            Spot spot;
            spot.off = true;
            double best_m = k_farthest_m * 2;
            const auto line = network.vertices(network.edges()[run.edge]);
            for (std::size_t i = 0; i + 1 < line.size(); ++i) {
                const auto foot = geo::nearest_on_segment(square.middle(), line[i].at, line[i + 1].at);
                if (foot.distance_m >= best_m) continue;
                best_m = foot.distance_m;
                spot.place = {run.edge,
                              line[i].offset_m + foot.fraction * (line[i + 1].offset_m - line[i].offset_m),
                              foot.point};
            }
            spot.off_m = best_m;
            spot.outside_m = square.outside_m(spot.place.at);
            add(spot, out);
        }
    }
    return out;
}

} // namespace

SquareOnPlane::SquareOnPlane(const geo::GridSquare& square, const MatchPlane& plane)
    : m_middle(plane.to_plane(square.middle)) {
    // From the corner to the middle is north-east on the grid; its east is an eighth of a turn clockwise.
    const geo::Metres2 diagonal = m_middle - plane.to_plane(square.corner);
    const double length_m = geo::length_m(diagonal);
    m_half_m = length_m / std::sqrt(2.0);
    m_east = length_m > 0 ? (1 / (std::sqrt(2.0) * length_m)) *
                                geo::Metres2{diagonal.x_m + diagonal.y_m, diagonal.y_m - diagonal.x_m}
                          : geo::Metres2{1, 0};
}

double SquareOnPlane::outside_m(geo::Metres2 p) const {
    const geo::Metres2 from_middle = p - m_middle;
    const double out_m =
        std::max(std::abs(geo::dot(from_middle, m_east)), std::abs(geo::cross(m_east, from_middle)));
    return std::max(0.0, out_m - m_half_m);
}

std::vector<Spot> spots_in(const SquareOnPlane& square, const Network& network,
                           const std::vector<Effort>& efforts) {
    const double radius_m = std::sqrt(2.0) * (square.half_m() + k_misread_m);
    std::vector<Spot> out;
    for (const Network::Near& run : walked_runs(square.middle(), radius_m, network, efforts))
        if (const Spot spot = best_of_run(run, square, network); spot.outside_m <= k_misread_m)
            add(spot, out);
    return out.empty() ? nearest_ways(square, network, efforts) : out;
}

} // namespace waywarden::match
