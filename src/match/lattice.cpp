#include "match/lattice.hpp"

#include "match/layers.hpp"
#include "match/reach.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace waywarden::match {

namespace {

constexpr double k_never = -1e15;

// All costs are natural logarithms of odds (nats): how much less likely one thing is than another.
constexpr double k_turn_round = 6.0;       // turning round on the spot without the drawn line showing it
constexpr double k_turn_round_drawn = 1.0; // with it (a turn of more than 150 degrees)
constexpr double k_leave_network = 6.0;    // stepping onto open ground
constexpr double k_join_network = 1.0;     // and back
constexpr double k_open_per_point =
    2.2; // a point on open ground: what a point on a way costs on average, and a little more
constexpr double k_open_per_m = 0.012; // each metre of open ground
constexpr double k_far_q = 8.0;        // beyond this squared residual (in sigmas) the penalty grows linearly
constexpr double k_beam = 14.0;        // candidates this much worse than the best of their point are dropped
constexpr double k_unlikely_q =
    12.0; // squared residual over the best of the point, in sigmas, that is not looked at
constexpr double k_arc_beam = 8.0;  // so are arcs into a candidate when shares are worked out
constexpr double k_moved_m = 30;    // as correlation_m, of a way that the map has elsewhere
constexpr double k_even_cap = 10.0; // an uneven step costs no more: a recorder pauses, a line ends early

/// What walking a metre costs by habit: where a path runs beside a road and the line is too rough to tell
/// them apart, people take the path. It decides the reading that is named, never the probabilities: those
/// come from the line alone, so that the road stays a reading that is judged. Equal evidence: two lines 9 m
/// apart at a standard error of 8 m, 2 m at one of 2 m.
double habit_per_m(const Edge& edge) {
    if (edge.outline)
        return 1.0 / 40; // where a way runs along the edge of a square it is the way that is meant
    switch (edge.access) {
    case map::Access::motorway:
    case map::Access::major_road:
        return 1.0 / 150;
    case map::Access::railway:
    case map::Access::ferry:
        return 1.0 / 100;
    case map::Access::minor_road:
        return 1.0 / 200;
    default:
        return 0;
    }
}

double tempered(double q) {
    return q <= k_far_q ? q : 2 * std::sqrt(q * k_far_q) - k_far_q;
}

class Solver {
  public:
    Solver(const Network& network, const std::vector<Observation>& line, const ErrorModel& model,
           bool keep_arcs)
        : m_network(network), m_line(line), m_model(model), m_keep_arcs(keep_arcs), m_reach(network) {}

    Solution run() {
        m_layers.resize(m_line.size());
        for (std::size_t k = 0; k < m_line.size(); ++k) {
            place_candidates(k);
            if (k == 0)
                begin();
            else
                step(k);
        }
        Solution solution;
        trace_back(solution);
        if (m_keep_arcs) find_shares(m_network, m_layers, solution);
        return solution;
    }

  private:
    void place_candidates(std::size_t k);
    void drop_unlikely(Layer& layer, double sigma_m) const;
    void begin();
    void step(std::size_t k);
    void from_group(std::size_t k, const Group& group);
    void over_end(std::size_t k, const Group& group, bool by_to);
    void along(std::size_t k, const Group& from, const Group& to);
    void over_open_ground(std::size_t k);
    void offer(std::size_t k, std::size_t to, int to_heading, std::size_t from, int leave_heading,
               double weight, double habit, const Back& how);
    double likeness(std::size_t k, std::size_t from, std::size_t to) const;
    double pair_weight(std::size_t k, std::size_t from, std::size_t to, double walked_m) const;
    void search(std::size_t k);
    double best_on_network(std::size_t k) const;
    std::pair<std::size_t, std::size_t> within(std::size_t k, const Group& group, double low_m,
                                               double high_m) const;
    void trace_back(Solution& solution) const;

    const Network& m_network;
    const std::vector<Observation>& m_line;
    const ErrorModel m_model;
    const bool m_keep_arcs;
    Reach m_reach;
    std::vector<Layer> m_layers;
    std::vector<Network::Near> m_near;

    // Of the step at work, from layer k - 1 to k.
    std::vector<ByHeading> m_leave; // best score on leaving with each heading, turning round included
    std::vector<std::array<std::uint8_t, 2>> m_leave_from;
    double m_rho = 0, m_variance_m2 = 1;
    double m_limit_m = 0, m_detour_scale_m = 1, m_step_m = 0;
    double m_least_walk_m = 0, m_most_walk_m = 0; // only walks of such a length are looked at
    bool m_even = false;
};

void Solver::place_candidates(std::size_t k) {
    Layer& layer = m_layers[k];
    const Observation& o = m_line[k];
    const double sigma_m = error_at(o, m_model);
    const double radius_m = std::max(5 * sigma_m, 12.0);
    const double spacing_m = std::max(0.4 * sigma_m, 0.8);
    m_network.near(o.at, radius_m, m_near);
    for (const auto& run : m_near) {
        const Edge& edge = m_network.edges()[run.edge];
        const double cells = std::max(1.0, std::round(edge.length_m / spacing_m));
        const double cell_m = edge.length_m / cells;
        const auto first = static_cast<long>(std::ceil(run.from_m / cell_m - 0.5));
        const auto last = static_cast<long>(std::floor(run.to_m / cell_m - 0.5));
        if (layer.groups.empty() || layer.groups.back().edge != run.edge)
            layer.groups.push_back({run.edge, layer.candidates.size(), layer.candidates.size()});
        const auto put = [&](double offset_m) {
            const geo::Metres2 at = m_network.at(edge, offset_m);
            layer.candidates.push_back({{run.edge, offset_m, at}, o.at - at});
        };
        if (first > last) put((run.from_m + run.to_m) / 2);
        for (long i = first; i <= last; ++i)
            put((static_cast<double>(i) + 0.5) * cell_m);
        layer.groups.back().end = layer.candidates.size();
    }
    drop_unlikely(layer, sigma_m);
    layer.score.assign(layer.candidates.size() + 1, {k_never, k_never});
    layer.back.resize(layer.candidates.size() + 1);
    layer.turn_round = o.turn_deg > 150 ? k_turn_round_drawn : k_turn_round;
}

/// Candidates so much farther off than the best that no chain could prefer them: near a way three and a half
/// standard errors are enough, far from all of them the whole radius counts.
void Solver::drop_unlikely(Layer& layer, double sigma_m) const {
    double least_q = 1e18;
    for (const Candidate& c : layer.candidates)
        least_q = std::min(least_q, geo::dot(c.residual, c.residual));
    const double most_q = least_q + k_unlikely_q * sigma_m * sigma_m;
    std::size_t kept = 0;
    for (Group& group : layer.groups) {
        const std::size_t begin = kept;
        for (std::size_t i = group.begin; i < group.end; ++i)
            if (geo::dot(layer.candidates[i].residual, layer.candidates[i].residual) <= most_q)
                layer.candidates[kept++] = layer.candidates[i];
        group.begin = begin;
        group.end = kept;
    }
    layer.candidates.resize(kept);
    std::erase_if(layer.groups, [](const Group& group) { return group.begin == group.end; });
}

void Solver::begin() {
    Layer& layer = m_layers[0];
    const double sigma_m = error_at(m_line[0], m_model);
    for (std::size_t i = 0; i < layer.candidates.size(); ++i) {
        const geo::Metres2 r = layer.candidates[i].residual;
        layer.score[i].fill(-0.5 * tempered(geo::dot(r, r) / (sigma_m * sigma_m)));
    }
    if (!m_line[0].on_network || layer.candidates.empty())
        layer.score[layer.off()][0] = -k_leave_network / 2 - k_open_per_point;
}

void Solver::step(std::size_t k) {
    const Layer& before = m_layers[k - 1];
    const Observation &a = m_line[k - 1], &b = m_line[k];
    m_step_m = geo::length_m(b.at - a.at);
    // A way that the map has elsewhere keeps its shape, but for where it comes back to its place; the steps
    // along it are those of the line, not of the way.
    const bool moved = a.map_error_m > 0 && b.map_error_m > 0;
    m_even = m_model.even_step_m > 0 && !moved && a.drawn && b.drawn &&
             m_step_m < 2.5 * m_model.even_step_m + 6 * m_model.sigma_m;
    const double sigma_a_m = error_at(a, m_model), sigma_b_m = error_at(b, m_model);
    m_limit_m = 2 * m_step_m + 4 * (sigma_a_m + sigma_b_m) + 60;
    // Where the steps are even their length already says how winding the way is.
    m_detour_scale_m = std::max(4.0, 0.2 * m_step_m) * (m_even ? 4 : 1);

    const bool related = a.drawn && b.drawn && m_model.correlation_m > 0;
    const double correlation_m = moved ? k_moved_m : m_model.correlation_m;
    m_rho = related ? std::exp(-m_step_m / correlation_m) : 0;
    m_variance_m2 = sigma_b_m * sigma_b_m * (1 - m_rho * m_rho);

    m_leave.resize(before.candidates.size());
    m_leave_from.resize(before.candidates.size());
    for (std::size_t i = 0; i < before.candidates.size(); ++i)
        for (const std::uint8_t heading : {std::uint8_t{0}, std::uint8_t{1}}) {
            const double straight_on = before.score[i][heading];
            const double turned = before.score[i][1 - heading] - before.turn_round;
            m_leave[i][heading] = std::max(straight_on, turned);
            m_leave_from[i][heading] =
                static_cast<std::uint8_t>(straight_on >= turned ? heading : 1 - heading);
        }
    const double widest_m = m_limit_m;
    m_least_walk_m = 0;
    m_most_walk_m = widest_m;
    if (m_even && k + 1 < m_line.size()) {
        const double slack_m = std::sqrt(2 * k_even_cap) * m_model.step_spread_m;
        m_least_walk_m = m_model.even_step_m - slack_m;
        m_most_walk_m = std::min(widest_m, m_model.even_step_m + slack_m);
    }
    const double best_before = best_on_network(k - 1);
    search(k);
    // A pause or a gap in the even steps: look again at walks of any length.
    if (m_most_walk_m < widest_m && best_before > k_never / 2 &&
        best_on_network(k) < best_before - k_even_cap) {
        m_least_walk_m = 0;
        m_most_walk_m = widest_m;
        search(k);
    }
    over_open_ground(k);

    Layer& layer = m_layers[k];
    double best = k_never;
    for (const auto& score : layer.score)
        best = std::max({best, score[0], score[1]});
    for (auto& score : layer.score)
        for (double& s : score)
            if (s < best - k_beam) s = k_never;
    std::erase_if(layer.arcs, [&](const Arc& arc) {
        return layer.score[arc.to][arc.to_heading] < k_never / 2 ||
               m_layers[k - 1].score[arc.from][arc.from_heading] + static_cast<double>(arc.weight) <
                   layer.score[arc.to][arc.to_heading] - k_arc_beam;
    });
}

void Solver::search(std::size_t k) {
    m_layers[k].arcs.clear();
    for (const Group& group : m_layers[k - 1].groups)
        from_group(k, group);
}

double Solver::best_on_network(std::size_t k) const {
    double best = k_never;
    for (std::size_t i = 0; i < m_layers[k].off(); ++i)
        best = std::max({best, m_layers[k].score[i][0], m_layers[k].score[i][1]});
    return best;
}

/// The candidates of a group with an offset in a range.
std::pair<std::size_t, std::size_t> Solver::within(std::size_t k, const Group& group, double low_m,
                                                   double high_m) const {
    const auto& all = m_layers[k].candidates;
    std::size_t begin = group.begin, end = group.end;
    while (begin < end && all[begin].place.offset_m < low_m)
        ++begin;
    while (end > begin && all[end - 1].place.offset_m > high_m)
        --end;
    return {begin, end};
}

double Solver::likeness(std::size_t k, std::size_t from, std::size_t to) const {
    const geo::Metres2 news =
        m_layers[k].candidates[to].residual - m_rho * m_layers[k - 1].candidates[from].residual;
    return -0.5 * tempered(geo::dot(news, news) / m_variance_m2);
}

double Solver::pair_weight(std::size_t k, std::size_t from, std::size_t to, double walked_m) const {
    const double straight_m =
        geo::length_m(m_layers[k].candidates[to].place.at - m_layers[k - 1].candidates[from].place.at);
    double weight = likeness(k, from, to) - std::max(0.0, walked_m - straight_m) / m_detour_scale_m;
    if (m_even) {
        const double z = (walked_m - m_model.even_step_m) / m_model.step_spread_m;
        weight -= std::min(0.5 * z * z, k_even_cap);
    }
    return weight;
}

void Solver::offer(std::size_t k, std::size_t to, int to_heading, std::size_t from, int leave_heading,
                   double weight, double habit, const Back& how) {
    Layer& layer = m_layers[k];
    const auto heading = static_cast<std::size_t>(to_heading);
    const double value = m_leave[from][static_cast<std::size_t>(leave_heading)] + weight - habit;
    double& best = layer.score[to][heading];
    if (m_keep_arcs && value > best - k_arc_beam) {
        // An arc stands for the heading the walker had; turning round is in its weight.
        const std::uint8_t had = m_leave_from[from][static_cast<std::size_t>(leave_heading)];
        const double turn = had == leave_heading ? 0 : m_layers[k - 1].turn_round;
        layer.arcs.push_back({static_cast<std::uint32_t>(to), static_cast<std::uint32_t>(from),
                              static_cast<std::uint8_t>(to_heading), had, static_cast<float>(weight - turn)});
    }
    if (value <= best) return;
    best = value;
    Back& back = layer.back[to][heading];
    back = how;
    back.from = static_cast<std::int32_t>(from);
    back.from_heading = m_leave_from[from][static_cast<std::size_t>(leave_heading)];
}

void Solver::from_group(std::size_t k, const Group& group) {
    const auto alive = [&](std::size_t i) { return std::max(m_leave[i][0], m_leave[i][1]) > k_never / 2; };
    bool any = false;
    for (std::size_t i = group.begin; i < group.end; ++i)
        any |= alive(i);
    if (!any) return;
    over_end(k, group, false);
    over_end(k, group, true);
    for (const Group& to : m_layers[k].groups)
        if (to.edge == group.edge) along(k, group, to);
}

void Solver::along(std::size_t k, const Group& from, const Group& to) {
    const Layer &before = m_layers[k - 1], &now = m_layers[k];
    const double habit_cost_per_m = habit_per_m(m_network.edges()[from.edge]);
    for (std::size_t i = from.begin; i < from.end; ++i) {
        const double offset_m = before.candidates[i].place.offset_m;
        for (const std::uint8_t heading : {std::uint8_t{0}, std::uint8_t{1}}) {
            if (m_leave[i][heading] < k_never / 2) continue;
            const double sign = heading == 0 ? 1 : -1;
            const double one_m = offset_m + sign * m_least_walk_m, other_m = offset_m + sign * m_most_walk_m;
            const auto [begin, end] = within(k, to, std::min(one_m, other_m), std::max(one_m, other_m));
            for (std::size_t j = begin; j < end; ++j) {
                const double walked_m = sign * (now.candidates[j].place.offset_m - offset_m);
                if (walked_m < 0) continue;
                offer(k, j, heading, i, heading, pair_weight(k, i, j, walked_m), habit_cost_per_m * walked_m,
                      {-1, 0, Move::along_edge, false, false, static_cast<float>(walked_m)});
            }
        }
    }
}

void Solver::over_end(std::size_t k, const Group& group, bool by_to) {
    const Layer &before = m_layers[k - 1], &now = m_layers[k];
    const Edge& edge = m_network.edges()[group.edge];
    const std::uint8_t leave_heading = by_to ? 0 : 1;
    const auto to_end_m = [&](std::size_t i) {
        const double offset_m = before.candidates[i].place.offset_m;
        return by_to ? edge.length_m - offset_m : offset_m;
    };
    const double nearest_m = std::min(to_end_m(group.begin), to_end_m(group.end - 1));
    if (nearest_m > m_most_walk_m) return;
    const JunctionIndex end = by_to ? edge.to : edge.from;
    m_reach.search(end, m_most_walk_m - nearest_m, group.edge);
    for (const Group& to : now.groups) {
        const Edge& other = m_network.edges()[to.edge];
        for (const bool arrives_by_to : {false, true}) {
            const JunctionIndex entry = arrives_by_to ? other.to : other.from;
            const double between_m = m_reach.distance_m(entry);
            if (between_m > m_most_walk_m || m_reach.last_edge(entry) == to.edge) continue;
            if (to.edge == group.edge && entry == end && between_m == 0) continue; // would be turning round
            const double habit = (habit_per_m(edge) + habit_per_m(other)) / 2;
            for (std::size_t i = group.begin; i < group.end; ++i) {
                if (m_leave[i][leave_heading] < k_never / 2) continue;
                const double so_far_m = to_end_m(i) + between_m;
                if (so_far_m > m_most_walk_m) continue;
                const double least_m = m_least_walk_m - so_far_m, most_m = m_most_walk_m - so_far_m;
                const auto [first, last] =
                    arrives_by_to ? within(k, to, other.length_m - most_m, other.length_m - least_m)
                                  : within(k, to, least_m, most_m);
                for (std::size_t j = first; j < last; ++j) {
                    const double offset_m = now.candidates[j].place.offset_m;
                    const double walked_m = so_far_m + (arrives_by_to ? other.length_m - offset_m : offset_m);
                    offer(k, j, arrives_by_to ? 1 : 0, i, leave_heading, pair_weight(k, i, j, walked_m),
                          habit * walked_m,
                          {-1, 0, Move::by_network, by_to, arrives_by_to, static_cast<float>(walked_m)});
                }
            }
        }
    }
}

void Solver::over_open_ground(std::size_t k) {
    Layer &before = m_layers[k - 1], &now = m_layers[k];
    const double sigma_m = error_at(m_line[k], m_model);
    const double point_cost = m_line[k].drawn ? k_open_per_point : 0.3;
    // Open ground is entered and left without a heading: treat the better one as the one had.
    std::vector<std::uint8_t> had(before.candidates.size());
    std::size_t best_on = before.off();
    for (std::size_t i = 0; i < before.candidates.size(); ++i) {
        had[i] = before.score[i][0] >= before.score[i][1] ? 0 : 1;
        if (best_on == before.off() || before.score[i][had[i]] > before.score[best_on][had[best_on]])
            best_on = i;
    }
    const auto consider = [&](std::size_t to, std::uint8_t heading, std::size_t from,
                              std::uint8_t from_heading, double weight, double walked_m) {
        const double value = before.score[from][from_heading] + weight;
        if (value < k_never / 2) return;
        if (m_keep_arcs && value > now.score[to][heading] - k_arc_beam)
            now.arcs.push_back({static_cast<std::uint32_t>(to), static_cast<std::uint32_t>(from), heading,
                                from_heading, static_cast<float>(weight)});
        if (value <= now.score[to][heading]) return;
        now.score[to][heading] = value;
        now.back[to][heading] = {
            static_cast<std::int32_t>(from), from_heading, Move::over_open_ground, false, false,
            static_cast<float>(walked_m)};
    };
    double uneven_cost = 0;
    if (m_even) {
        const double z2 = std::pow(m_step_m - m_model.even_step_m, 2) /
                          (std::pow(m_model.step_spread_m, 2) + 2 * std::pow(m_model.sigma_m, 2));
        uneven_cost = std::min(0.5 * z2, k_even_cap);
    }
    const double ground_cost = point_cost + uneven_cost + k_open_per_m * m_step_m;
    const bool may_be_off = !m_line[k].on_network || now.candidates.empty();
    if (may_be_off) consider(now.off(), 0, before.off(), 0, -ground_cost, m_step_m);
    if (may_be_off && best_on != before.off())
        consider(now.off(), 0, best_on, had[best_on], -k_leave_network - ground_cost, m_step_m);
    const double best_on_score = best_on == before.off() ? k_never : before.score[best_on][had[best_on]];
    for (std::size_t j = 0; j < now.candidates.size(); ++j) {
        const geo::Metres2 r = now.candidates[j].residual;
        const double likeness_alone = -0.5 * tempered(geo::dot(r, r) / (sigma_m * sigma_m));
        for (const std::uint8_t heading : {std::uint8_t{0}, std::uint8_t{1}}) {
            consider(j, heading, before.off(), 0,
                     likeness_alone - k_join_network - uneven_cost - k_open_per_m * m_step_m, m_step_m);
            // A short hop between ways that do not join on the map.
            const double hop_cost = k_leave_network + k_join_network + uneven_cost;
            if (best_on_score - hop_cost < now.score[j][heading]) continue;
            for (std::size_t i = 0; i < before.candidates.size(); ++i) {
                if (before.score[i][had[i]] - hop_cost < now.score[j][heading]) continue;
                const double hop_m =
                    geo::length_m(now.candidates[j].place.at - before.candidates[i].place.at);
                consider(j, heading, i, had[i], likeness(k, i, j) - hop_cost - 4 * k_open_per_m * hop_m,
                         hop_m);
            }
        }
    }
}

void Solver::trace_back(Solution& solution) const {
    const Layer& last = m_layers.back();
    std::size_t at = last.off();
    std::size_t heading = 0;
    for (std::size_t i = 0; i < last.score.size(); ++i)
        for (std::size_t h = 0; h < 2; ++h)
            if (last.score[i][h] > last.score[at][heading]) at = i, heading = h;
    solution.chosen.resize(m_line.size());
    for (std::size_t k = m_line.size(); k-- > 0;) {
        const Layer& layer = m_layers[k];
        const Back& back = layer.back[at][heading];
        Chosen& chosen = solution.chosen[k];
        chosen.on_network = at != layer.off();
        if (chosen.on_network) chosen.place = layer.candidates[at].place;
        if (k == 0) break;
        chosen.move = back.move;
        chosen.leaves_by_to = back.leaves_by_to;
        chosen.arrives_by_to = back.arrives_by_to;
        chosen.walked_m = static_cast<double>(back.walked_m);
        at = static_cast<std::size_t>(back.from);
        heading = back.from_heading;
    }
}

} // namespace

double error_at(const Observation& o, const ErrorModel& model) {
    constexpr double k_between_m = 18; // how far a way strays from a straight leg; common practice, no source
    return std::hypot(model.sigma_m, o.map_error_m, o.drawn ? 0 : k_between_m);
}

Solution solve(const Network& network, const std::vector<Observation>& line, const ErrorModel& model,
               bool with_shares) {
    return Solver(network, line, model, with_shares).run();
}

std::vector<std::pair<JunctionIndex, EdgeIndex>> junctions_between(const Network& network, Reach& reach,
                                                                   const Place& a, const Chosen& b) {
    const Edge& edge = network.edges()[a.edge];
    const Edge& last = network.edges()[b.place.edge];
    const JunctionIndex start = b.leaves_by_to ? edge.to : edge.from;
    JunctionIndex at = b.arrives_by_to ? last.to : last.from;
    reach.search(start, b.walked_m + 1, a.edge);
    std::vector<std::pair<JunctionIndex, EdgeIndex>> passed; // each junction with the edge that led to it
    while (at != start) {
        passed.emplace_back(at, reach.last_edge(at));
        at = reach.before(at);
    }
    passed.emplace_back(start, a.edge);
    std::reverse(passed.begin(), passed.end());
    return passed;
}

} // namespace waywarden::match
