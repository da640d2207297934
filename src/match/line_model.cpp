#include "match/line_model.hpp"

#include <algorithm>
#include <cmath>

namespace waywarden::match {

namespace {

constexpr double k_least_sigma_m = 1.0,
                 k_most_sigma_m = 40;   // detection of 2 to 40 m, a little finer for copied lines
constexpr double k_normal_mad = 1.4826; // of a normal distribution: standard deviation over median deviation
constexpr double k_long_leg_m = 150, k_between_m = 75;
constexpr std::size_t k_lag = 8;

double median(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

/// Root mean square of the values within three robust deviations of zero.
double trimmed_rms(const std::vector<double>& values) {
    std::vector<double> sizes;
    for (const double v : values)
        sizes.push_back(std::abs(v));
    const double cut = std::max(1.0, 3.5 * k_normal_mad * median(sizes));
    double sum = 0, count = 0;
    for (const double v : sizes)
        if (v <= cut) sum += v * v, ++count;
    return std::sqrt(sum / std::max(1.0, count));
}

double turn_deg(geo::Metres2 a, geo::Metres2 b, geo::Metres2 c) {
    const geo::Metres2 in = b - a, out = c - b;
    return std::abs(std::atan2(geo::cross(in, out), geo::dot(in, out))) * 57.29577951308232;
}

geo::Metres2 heading(const Network& network, const Place& place) {
    const Edge& edge = network.edges()[place.edge];
    const auto line = network.vertices(edge);
    auto after = std::upper_bound(line.begin() + 1, line.end() - 1, place.offset_m,
                                  [](double offset, const Vertex& v) { return offset < v.offset_m; });
    const geo::Metres2 along = after->at - (after - 1)->at;
    return (1 / std::max(1e-9, geo::length_m(along))) * along;
}

} // namespace

geo::Metres2 DrawnLine::at(double metres) const {
    const auto after = std::upper_bound(at_m.begin(), at_m.end(), metres);
    if (after == at_m.begin()) return points.front();
    if (after == at_m.end()) return points.back();
    const auto i = static_cast<std::size_t>(after - at_m.begin());
    return points[i - 1] + ((metres - at_m[i - 1]) / (at_m[i] - at_m[i - 1])) * (points[i] - points[i - 1]);
}

DrawnLine drawn_line(const route::Segment& segment, std::span<const double> metres_along,
                     const MatchPlane& plane) {
    DrawnLine line;
    for (std::size_t i = 0; i < segment.points.size(); ++i) {
        if (!line.at_m.empty() && metres_along[i] - line.at_m.back() < 0.01) {
            if (line.at_m.size() > 1) line.at_m.back() = metres_along[i];
            continue;
        }
        line.points.push_back(plane.to_plane(segment.points[i].position));
        line.at_m.push_back(metres_along[i]);
    }
    return line;
}

std::vector<Observation> observe(const DrawnLine& line, double sigma_m) {
    const double least_m = std::clamp(sigma_m, 3.0, 25.0);
    std::vector<std::size_t> kept{0};
    for (std::size_t i = 1; i < line.points.size(); ++i) {
        const bool last = i + 1 == line.points.size();
        const bool far = geo::length_m(line.points[i] - line.points[kept.back()]) >= least_m;
        if (last && !far && kept.size() > 1) kept.pop_back();
        if (last || far) kept.push_back(i);
    }
    std::vector<Observation> out;
    for (std::size_t k = 0; k < kept.size(); ++k) {
        Observation o{line.points[kept[k]], line.at_m[kept[k]], true, 0};
        if (k > 0) {
            const geo::Metres2 before = line.points[kept[k - 1]];
            const double leg_m = geo::length_m(o.at - before);
            const int pieces = leg_m > k_long_leg_m ? static_cast<int>(std::ceil(leg_m / k_between_m)) : 1;
            for (int piece = 1; piece < pieces; ++piece) {
                const double share = static_cast<double>(piece) / pieces;
                out.push_back({before + share * (o.at - before),
                               line.at_m[kept[k - 1]] + share * (o.at_m - line.at_m[kept[k - 1]]), false, 0});
            }
            if (k + 1 < kept.size()) o.turn_deg = turn_deg(before, o.at, line.points[kept[k + 1]]);
        }
        out.push_back(o);
    }
    return out;
}

ErrorModel first_guess(const Network& network, const DrawnLine& line) {
    std::vector<double> distances;
    std::vector<Network::Near> near;
    const std::size_t stride = 1 + line.points.size() / 400;
    for (std::size_t i = 0; i < line.points.size(); i += stride) {
        network.near(line.points[i], 80, near);
        double least = 80;
        for (const auto& run : near)
            least = std::min(least, run.distance_m);
        if (least < 80) distances.push_back(least);
    }
    ErrorModel model;
    // The nearest way is often another one than the one meant, so the guess is taken high: too wide a net
    // only costs time.
    if (!distances.empty()) model.sigma_m = std::clamp(1.6 * k_normal_mad * median(distances), 3.0, 30.0);
    return model;
}

void ErrorEstimate::add(const std::vector<Observation>& line, const Solution& solution) {
    double last_aside_m = 0;
    bool has_last = false;
    m_runs_m.emplace_back();
    for (std::size_t k = 0; k < line.size(); ++k) {
        const Chosen& c = solution.chosen[k];
        if (!c.on_network || !line[k].drawn) {
            if (!c.on_network) m_runs_m.emplace_back();
            has_last = false;
            continue;
        }
        const double aside_m = geo::cross(heading(m_network, c.place), line[k].at - c.place.at);
        m_aside_m.push_back(aside_m);
        if (has_last && c.move == Move::along_edge) {
            m_together_m2 += aside_m * last_aside_m;
            m_squares_m2 += 0.5 * (aside_m * aside_m + last_aside_m * last_aside_m);
            m_steps_m.push_back(geo::length_m(line[k].at - line[k - 1].at));
        }
        last_aside_m = aside_m;
        has_last = true;
        const bool joined =
            k > 0 && line[k - 1].drawn && (c.move == Move::along_edge || c.move == Move::by_network);
        if (!joined) m_runs_m.emplace_back();
        auto& run = m_runs_m.back();
        run.push_back(run.empty() ? 0 : run.back() + c.walked_m);
    }
}

ErrorModel ErrorEstimate::model(const ErrorModel& used) const {
    ErrorModel model = used;
    if (m_aside_m.size() < 4) return model;
    model.sigma_m = std::clamp(trimmed_rms(m_aside_m), k_least_sigma_m, k_most_sigma_m);
    if (m_steps_m.size() >= 8 && m_squares_m2 > 0) {
        const double r = std::clamp(m_together_m2 / m_squares_m2, 0.02, 0.95);
        model.correlation_m = std::clamp(median(m_steps_m) / -std::log(r), 5.0, 200.0);
    }
    // Over several steps the error of two points hardly grows, but the spread of uneven steps does: that
    // tells them apart.
    model.even_step_m = 0;
    std::vector<double> spans_m;
    for (const auto& run : m_runs_m)
        for (std::size_t i = 0; i + k_lag < run.size(); ++i)
            spans_m.push_back(run[i + k_lag] - run[i]);
    if (spans_m.size() < 8) return model;
    const double span_m = median(spans_m), step_m = span_m / k_lag;
    for (double& s : spans_m)
        s = std::abs(s - span_m);
    const double spread_m = k_normal_mad * median(spans_m);
    const double own_m2 = std::max(0.0, spread_m * spread_m - 2 * model.sigma_m * model.sigma_m) / k_lag;
    const double floor_m =
        0.3 + 0.01 * step_m + 0.15 * model.sigma_m; // the places looked at are that far apart
    const double step_spread_m = std::hypot(std::sqrt(own_m2), floor_m);
    if (step_spread_m < 0.35 * step_m) {
        model.even_step_m = step_m;
        model.step_spread_m = step_spread_m;
    }
    return model;
}

} // namespace waywarden::match
