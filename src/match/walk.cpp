#include "match/walk.hpp"

#include <algorithm>
#include <cmath>

namespace waywarden::match {

namespace {

/// A piece of one edge walked in one direction, or of open ground (no edge).
struct Piece {
    bool on_network = false;
    EdgeIndex edge = 0;
    double from_offset_m = 0, to_offset_m = 0;
    double from_m = 0, to_m = 0; ///< along the route as drawn
};

using Pieces = std::vector<Piece>;

double end_of(const Network& network, EdgeIndex edge, bool by_to) {
    return by_to ? network.edges()[edge].length_m : 0;
}

/// The pieces from one place to the next over the network.
void add_network_move(const Network& network, Reach& reach, const Chosen& a, const Chosen& b, Pieces& out) {
    if (b.move == Move::along_edge) {
        out.push_back({true, b.place.edge, a.place.offset_m, b.place.offset_m, 0, 0});
        return;
    }
    const auto passed = junctions_between(network, reach, a.place, b);
    out.push_back(
        {true, a.place.edge, a.place.offset_m, end_of(network, a.place.edge, b.leaves_by_to), 0, 0});
    for (std::size_t i = 1; i < passed.size(); ++i) {
        const Edge& edge = network.edges()[passed[i].second];
        const bool forward = edge.from == passed[i - 1].first && edge.to == passed[i].first;
        out.push_back(
            {true, passed[i].second, forward ? 0 : edge.length_m, forward ? edge.length_m : 0, 0, 0});
    }
    out.push_back(
        {true, b.place.edge, end_of(network, b.place.edge, b.arrives_by_to), b.place.offset_m, 0, 0});
}

/// A walk over the network without a break, and where along it each observation stands.
struct Run {
    Pieces pieces;
    std::size_t first = 0;        ///< index of the first observation
    std::vector<double> walked_m; ///< of each observation from `first` on, along the pieces
};

double length_m(const Piece& piece) {
    return std::abs(piece.to_offset_m - piece.from_offset_m);
}

/// Where one is after some metres of a run; beyond its ends, at them.
class RunLine {
  public:
    RunLine(const Network& network, const Run& run) : m_network(network), m_pieces(run.pieces) {
        double at_m = 0;
        for (const Piece& piece : m_pieces) {
            m_starts_m.push_back(at_m);
            at_m += length_m(piece);
        }
        m_length_m = at_m;
    }
    geo::Metres2 at(double walked_m) const {
        walked_m = std::clamp(walked_m, 0.0, m_length_m);
        const auto after = std::upper_bound(m_starts_m.begin(), m_starts_m.end(), walked_m);
        const auto i = static_cast<std::size_t>(std::max<std::ptrdiff_t>(1, after - m_starts_m.begin())) - 1;
        const Piece& piece = m_pieces[i];
        const double sign = piece.to_offset_m >= piece.from_offset_m ? 1 : -1;
        return m_network.at(m_network.edges()[piece.edge],
                            piece.from_offset_m + sign * (walked_m - m_starts_m[i]));
    }
    double length() const { return m_length_m; }

  private:
    const Network& m_network;
    const Pieces& m_pieces;
    std::vector<double> m_starts_m;
    double m_length_m = 0;
};

/// Solves a symmetric tridiagonal system in place (Thomas algorithm, any textbook of numerical analysis).
void solve_tridiagonal(std::vector<double>& diagonal, const std::vector<double>& beside,
                       std::vector<double>& right) {
    for (std::size_t i = 1; i < diagonal.size(); ++i) {
        const double factor = beside[i - 1] / diagonal[i - 1];
        diagonal[i] -= factor * beside[i - 1];
        right[i] -= factor * right[i - 1];
    }
    for (std::size_t i = diagonal.size(); i-- > 0;) {
        if (i + 1 < diagonal.size()) right[i] -= beside[i] * right[i + 1];
        right[i] /= diagonal[i];
    }
}

/// Where the points were taken at even steps, the steps of their places are made as even as the residuals
/// allow: least squares over the whole run, since each point alone is off along the line by as much as it is
/// off to the side. The way walked stays; only where on it each point belongs moves, and with it where one
/// way is left for the next.
void even_out(const Network& network, const std::vector<Observation>& line, const ErrorModel& model,
              Run& run) {
    const std::size_t count = run.walked_m.size();
    if (model.even_step_m <= 0 || count < 3) return;
    const RunLine walk(network, run);
    const double step_sigma_m = 0.3 + 0.01 * model.even_step_m;
    for (int round = 0; round < 4; ++round) {
        std::vector<double> diagonal(count, 1e-9), beside(count - 1, 0.0), right(count, 0.0);
        std::vector<geo::Metres2> ahead(count), residual(count);
        for (std::size_t i = 0; i < count; ++i) {
            ahead[i] = 0.5 * (walk.at(run.walked_m[i] + 1) - walk.at(run.walked_m[i] - 1));
            residual[i] = line[run.first + i].at - walk.at(run.walked_m[i]);
        }
        // A term |a - b * shift_before + c * shift|^2 / variance, with a vector or scalar a, adds to the
        // normal equations.
        for (std::size_t i = 0; i < count; ++i) {
            const bool drawn = line[run.first + i].drawn;
            const double sigma_m = error_at(line[run.first + i], model);
            const bool related = i > 0 && drawn && line[run.first + i - 1].drawn;
            const double gap_m =
                i > 0 ? geo::length_m(line[run.first + i].at - line[run.first + i - 1].at) : 0;
            const double rho = related ? std::exp(-gap_m / model.correlation_m) : 0;
            const double weight = 1 / (sigma_m * sigma_m * (1 - rho * rho));
            const geo::Metres2 news = residual[i] - (related ? rho * residual[i - 1] : geo::Metres2{});
            diagonal[i] += weight * geo::dot(ahead[i], ahead[i]);
            right[i] += weight * geo::dot(ahead[i], news);
            if (!related) continue;
            diagonal[i - 1] += weight * rho * rho * geo::dot(ahead[i - 1], ahead[i - 1]);
            beside[i - 1] -= weight * rho * geo::dot(ahead[i], ahead[i - 1]);
            right[i - 1] -= weight * rho * geo::dot(ahead[i - 1], news);
            const double uneven_m = run.walked_m[i] - run.walked_m[i - 1] - model.even_step_m;
            if (std::abs(uneven_m) > 3 * model.step_spread_m + model.sigma_m)
                continue; // a pause, or the short last step
            const double step_weight = 1 / (step_sigma_m * step_sigma_m);
            diagonal[i] += step_weight;
            diagonal[i - 1] += step_weight;
            beside[i - 1] -= step_weight;
            right[i] -= step_weight * uneven_m;
            right[i - 1] += step_weight * uneven_m;
        }
        solve_tridiagonal(diagonal, beside, right);
        double low_m = 0;
        for (std::size_t i = 0; i < count; ++i) {
            const double moved_m = run.walked_m[i] + std::clamp(right[i], -model.sigma_m, model.sigma_m);
            run.walked_m[i] = low_m = std::clamp(moved_m, low_m, std::max(low_m, walk.length()));
        }
    }
}

/// Gives each piece of a run its metres along the drawn line, by what is walked between observations.
void set_drawn_metres(const std::vector<Observation>& line, Run& run) {
    std::size_t k = 0;
    const auto drawn_at = [&](double walked_m) {
        while (k + 2 < run.walked_m.size() && run.walked_m[k + 1] < walked_m)
            ++k;
        const double from_m = line[run.first + k].at_m, to_m = line[run.first + k + 1].at_m;
        const double span_m = run.walked_m[k + 1] - run.walked_m[k];
        const double share = span_m <= 0 ? 1 : std::clamp((walked_m - run.walked_m[k]) / span_m, 0.0, 1.0);
        return from_m + share * (to_m - from_m);
    };
    double walked_m = 0;
    double at_m = line[run.first].at_m;
    for (Piece& piece : run.pieces) {
        piece.from_m = at_m;
        walked_m += length_m(piece);
        at_m = piece.to_m = std::max(at_m, drawn_at(walked_m));
    }
    run.pieces.back().to_m = line[run.first + run.walked_m.size() - 1].at_m;
}

Pieces pieces_of(const Network& network, const std::vector<Observation>& line, const Solution& solution,
                 const ErrorModel& model) {
    Pieces out;
    Run run;
    Reach reach(network);
    const auto close_run = [&] {
        if (run.walked_m.size() > 1) {
            even_out(network, line, model, run);
            set_drawn_metres(line, run);
            out.insert(out.end(), run.pieces.begin(), run.pieces.end());
        }
        run = {};
    };
    for (std::size_t k = 0; k < line.size(); ++k) {
        const Chosen& b = solution.chosen[k];
        if (k > 0 && (b.move == Move::along_edge || b.move == Move::by_network)) {
            add_network_move(network, reach, solution.chosen[k - 1], b, run.pieces);
            run.walked_m.push_back(run.walked_m.back() + b.walked_m);
            continue;
        }
        close_run();
        if (k > 0) {
            const bool goes_on = !out.empty() && !out.back().on_network && !solution.chosen[k - 1].on_network;
            if (goes_on)
                out.back().to_m = line[k].at_m;
            else
                out.push_back({false, 0, 0, 0, line[k - 1].at_m, line[k].at_m});
        }
        run.first = k;
        run.walked_m.assign(1, 0.0);
    }
    close_run();
    return out;
}

/// Follows the drawn line from a place on the network into open ground for as long as it stays within
/// `band_m` of the edge it is on or one that joins it: until then the line cannot be told from the way.
class Follower {
  public:
    Follower(const Network& network, const DrawnLine& drawn, double band_m)
        : m_network(network), m_drawn(drawn), m_band_m(band_m) {}

    /// The pieces followed, from `from_m` towards `to_m` (which may be less: then the pieces run backwards).
    Pieces follow(EdgeIndex edge, double offset_m, double from_m, double to_m) {
        Pieces out;
        const double step_m = 2.0, sign = to_m >= from_m ? 1 : -1;
        const int steps = static_cast<int>(std::abs(to_m - from_m) / step_m);
        double at_m = from_m;
        for (int i = 1; i <= steps; ++i) {
            const double next_m = from_m + sign * i * step_m;
            m_network.near(m_drawn.at(next_m), m_band_m, m_near);
            const Network::Near* best = nullptr;
            for (const auto& run : m_near)
                if (joins(edge, run.edge) && (!best || cost(edge, run) < cost(edge, *best))) best = &run;
            if (!best) break;
            const double next_offset_m = (best->from_m + best->to_m) / 2;
            if (best->edge == edge) {
                out.push_back({true, edge, offset_m, next_offset_m, at_m, next_m});
            } else {
                const bool by_to = shares(edge, true, best->edge);
                const Edge& other = m_network.edges()[best->edge];
                const JunctionIndex at = by_to ? m_network.edges()[edge].to : m_network.edges()[edge].from;
                const double end_m = end_of(m_network, edge, by_to),
                             begin_m = other.from == at ? 0 : other.length_m;
                const double first_m = std::abs(end_m - offset_m),
                             second_m = std::abs(next_offset_m - begin_m);
                if (first_m + second_m > 4 * step_m + m_band_m) break; // the junction lies elsewhere
                const double middle_m =
                    at_m + (next_m - at_m) * (first_m + 1e-9) / (first_m + second_m + 2e-9);
                out.push_back({true, edge, offset_m, end_m, at_m, middle_m});
                out.push_back({true, best->edge, begin_m, next_offset_m, middle_m, next_m});
                edge = best->edge;
            }
            offset_m = next_offset_m;
            at_m = next_m;
        }
        return out;
    }

  private:
    bool shares(EdgeIndex a, bool to_end, EdgeIndex b) const {
        const Edge &x = m_network.edges()[a], &y = m_network.edges()[b];
        const JunctionIndex end = to_end ? x.to : x.from;
        return y.from == end || y.to == end;
    }
    bool joins(EdgeIndex a, EdgeIndex b) const { return a == b || shares(a, true, b) || shares(a, false, b); }
    double cost(EdgeIndex edge, const Network::Near& run) const {
        return run.distance_m + (run.edge == edge ? 0 : 0.3 * m_band_m);
    }
    const Network& m_network;
    const DrawnLine& m_drawn;
    double m_band_m;
    std::vector<Network::Near> m_near;
};

/// Draws the ends of open ground to where the line leaves the band of the ways on either side.
Pieces with_honest_edges(const Network& network, const DrawnLine& drawn, const Pieces& pieces,
                         double band_m) {
    Follower follower(network, drawn, band_m);
    Pieces out;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        if (pieces[i].on_network) {
            out.push_back(pieces[i]);
            continue;
        }
        Piece open = pieces[i];
        if (i > 0) {
            const Pieces more =
                follower.follow(pieces[i - 1].edge, pieces[i - 1].to_offset_m, open.from_m, open.to_m);
            if (!more.empty()) open.from_m = more.back().to_m;
            out.insert(out.end(), more.begin(), more.end());
        }
        Pieces tail;
        if (i + 1 < pieces.size()) {
            tail = follower.follow(pieces[i + 1].edge, pieces[i + 1].from_offset_m, open.to_m, open.from_m);
            std::reverse(tail.begin(), tail.end());
            for (Piece& p : tail) {
                std::swap(p.from_m, p.to_m);
                std::swap(p.from_offset_m, p.to_offset_m);
            }
            if (!tail.empty()) open.to_m = tail.front().from_m;
        }
        out.push_back(open);
        out.insert(out.end(), tail.begin(), tail.end());
    }
    return out;
}

class TraceWriter {
  public:
    TraceWriter(const Network& network, const MatchPlane& plane, const DrawnLine& drawn, Trace& trace)
        : m_network(network), m_plane(plane), m_drawn(drawn), m_trace(trace),
          m_begin(trace.stretches.size()) {}

    void add(const Piece& piece) {
        if (piece.on_network)
            add_walked(piece);
        else
            add_open(piece.from_m, piece.to_m);
    }

    void join_open_ground() {
        for (std::size_t i = m_begin; i < m_trace.stretches.size(); ++i) {
            Stretch& s = m_trace.stretches[i];
            if (s.way) continue;
            if (i > m_begin) s.line.front().position = m_trace.stretches[i - 1].line.back().position;
            if (i + 1 < m_trace.stretches.size())
                s.line.back().position = m_trace.stretches[i + 1].line.front().position;
        }
    }

  private:
    void add_walked(const Piece& piece) {
        const Edge& edge = m_network.edges()[piece.edge];
        const auto line = m_network.vertices(edge);
        Stretch& stretch = open_stretch(edge.way, piece);
        const double span_m = piece.to_offset_m - piece.from_offset_m;
        const auto put = [&](double offset_m, geo::Metres2 at, map::NodeIndex node) {
            const double share = span_m == 0 ? 1 : (offset_m - piece.from_offset_m) / span_m;
            push(stretch,
                 {m_plane.to_position(at), piece.from_m + share * (piece.to_m - piece.from_m), node});
        };
        const auto node_at = [&](double offset_m) {
            const auto v = std::find_if(line.begin(), line.end(), [&](const Vertex& vertex) {
                return std::abs(vertex.offset_m - offset_m) < 1e-6;
            });
            return v == line.end() ? map::k_no_node : v->node;
        };
        put(piece.from_offset_m, m_network.at(edge, piece.from_offset_m), node_at(piece.from_offset_m));
        const double low_m = std::min(piece.from_offset_m, piece.to_offset_m) + 1e-6;
        const double high_m = std::max(piece.from_offset_m, piece.to_offset_m) - 1e-6;
        const auto within = [&](const Vertex& v) { return v.offset_m > low_m && v.offset_m < high_m; };
        if (span_m > 0) {
            for (const Vertex& v : line)
                if (within(v)) put(v.offset_m, v.at, v.node);
        } else {
            for (auto v = line.rbegin(); v != line.rend(); ++v)
                if (within(*v)) put(v->offset_m, v->at, v->node);
        }
        put(piece.to_offset_m, m_network.at(edge, piece.to_offset_m), node_at(piece.to_offset_m));
        stretch.to_m = piece.to_m;
    }

    void add_open(double from_m, double to_m) {
        Piece piece{false, 0, 0, 0, from_m, to_m};
        Stretch& stretch = open_stretch(std::nullopt, piece);
        push(stretch, {m_plane.to_position(m_drawn.at(from_m)), from_m, map::k_no_node});
        const auto& at_m = m_drawn.at_m; // ascends
        const auto first = std::upper_bound(at_m.begin(), at_m.end(), from_m) - at_m.begin();
        for (auto i = static_cast<std::size_t>(first); i < at_m.size() && at_m[i] < to_m; ++i)
            push(stretch, {m_plane.to_position(m_drawn.points[i]), at_m[i], map::k_no_node});
        push(stretch, {m_plane.to_position(m_drawn.at(to_m)), to_m, map::k_no_node});
        stretch.to_m = to_m;
    }

    Stretch& open_stretch(std::optional<map::WayIndex> way, const Piece& piece) {
        if (m_trace.stretches.size() == m_begin || m_trace.stretches.back().way != way)
            m_trace.stretches.push_back({way, piece.from_m, piece.to_m, 0, {}, {}});
        return m_trace.stretches.back();
    }

    static void push(Stretch& stretch, const TracePoint& point) {
        if (!stretch.line.empty()) {
            TracePoint& last = stretch.line.back();
            const bool same_node = point.node != map::k_no_node && point.node == last.node;
            if (same_node) return;
            const bool same_place = std::abs(last.position.lon_deg - point.position.lon_deg) < 1e-9 &&
                                    std::abs(last.position.lat_deg - point.position.lat_deg) < 1e-9;
            if (same_place && (point.node == map::k_no_node || last.node == map::k_no_node)) {
                if (last.node == map::k_no_node) last.node = point.node;
                return;
            }
        }
        stretch.line.push_back(point);
    }

    const Network& m_network;
    const MatchPlane& m_plane;
    const DrawnLine& m_drawn;
    Trace& m_trace;
    std::size_t m_begin;
};

/// The observations that speak for a stretch: those on it, or the nearest two where it has none. Each stands
/// for the metres halfway to its neighbours, within the stretch.
struct Witness {
    std::size_t observation;
    double from_m, to_m;
};

std::vector<Witness> witnesses(const std::vector<Observation>& line, double from_m, double to_m,
                               double reach_m) {
    const auto before = [](const Observation& o, double m) { return o.at_m < m; };
    auto first = std::lower_bound(line.begin(), line.end(), from_m, before);
    auto last = std::upper_bound(line.begin(), line.end(), to_m,
                                 [](double m, const Observation& o) { return m < o.at_m; });
    if (first >= last) {
        if (first != line.begin()) --first;
        if (last != line.end()) ++last;
    }
    std::vector<Witness> out;
    for (auto o = first; o < last; ++o) {
        const double begin_m = o == first ? from_m : (std::prev(o)->at_m + o->at_m) / 2;
        const double end_m = std::next(o) == last ? to_m : (o->at_m + std::next(o)->at_m) / 2;
        out.push_back({static_cast<std::size_t>(o - line.begin()),
                       std::clamp(std::max(begin_m, o->at_m - reach_m), from_m, to_m),
                       std::clamp(std::min(end_m, o->at_m + reach_m), from_m, to_m)});
    }
    return out;
}

constexpr double k_worth_naming = 0.05;

/// The stretch's own probability on average, and runs of metres over which another reading is worth naming.
void set_confidence(const std::vector<Observation>& line, const Solution& solution, double sigma_m,
                    Stretch& stretch) {
    const map::WayIndex own = stretch.way.value_or(WayShare::none);
    const auto all = witnesses(line, stretch.from_m, stretch.to_m, 2 * sigma_m);
    double own_sum = 0;
    struct Open {
        map::WayIndex way;
        Reading reading;
        double sum;
        std::size_t count, last;
    };
    std::vector<Open> open;
    for (std::size_t i = 0; i < all.size(); ++i)
        for (const WayShare& share : solution.shares[all[i].observation]) {
            const double probability = std::clamp(share.probability, 0.0, 1.0);
            if (share.way == own) own_sum += probability;
            if (share.way == own || probability < k_worth_naming) continue;
            const auto known = std::find_if(open.begin(), open.end(), [&](const Open& o) {
                return o.way == share.way && o.last + 1 == i;
            });
            if (known != open.end()) {
                known->reading.to_m = all[i].to_m;
                known->sum += probability;
                ++known->count;
                known->last = i;
                continue;
            }
            Reading reading{share.way == WayShare::none ? std::nullopt : std::optional(share.way), 0,
                            all[i].from_m, all[i].to_m};
            open.push_back({share.way, reading, probability, 1, i});
        }
    stretch.confidence = all.empty() ? 0 : own_sum / static_cast<double>(all.size());
    for (Open& o : open) {
        o.reading.probability = o.sum / static_cast<double>(o.count);
        stretch.others.push_back(o.reading);
    }
}

} // namespace

void append_walk(const Network& network, const MatchPlane& plane, const DrawnLine& drawn,
                 const std::vector<Observation>& line, const Solution& solution, const ErrorModel& model,
                 Trace& trace) {
    const std::size_t begin = trace.stretches.size();
    trace.segment_starts.push_back(begin);
    const Pieces pieces =
        with_honest_edges(network, drawn, pieces_of(network, line, solution, model), 1.7 * model.sigma_m);
    TraceWriter writer(network, plane, drawn, trace);
    for (const Piece& piece : pieces)
        if (piece.to_m > piece.from_m || piece.from_offset_m != piece.to_offset_m) writer.add(piece);
    writer.join_open_ground();
    for (std::size_t i = begin; i < trace.stretches.size(); ++i)
        set_confidence(line, solution, model.sigma_m, trace.stretches[i]);
}

} // namespace waywarden::match
