#include "match/between.hpp"

#include "error.hpp"
#include "match/box.hpp"
#include "match/chain.hpp"
#include "route/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <limits>

namespace waywarden::match {

namespace {

constexpr std::size_t k_most_others = 3;
constexpr double k_longer = 1.2;
constexpr double k_reach_m = 1000, k_reach_share = 0.25, k_most_reach_m = 3000;

std::string metres(double m) {
    return m >= 1000 ? fmt::format("{:.1f} km", m / 1000) : fmt::format("{:.0f} m", m);
}

/// Around the squares, and as far as the map is read.
map::Box box_of(const CardPlan& plan) {
    std::vector<geo::Position> places;
    for (const Checkpoint& checkpoint : plan.checkpoints)
        if (checkpoint.square) places.push_back(checkpoint.square->middle);
    return box_around(places, reach_m(plan) / 111'000);
}

class Solver {
  public:
    Solver(const CardPlan& plan, const map::Ground& ground)
        : m_plan(plan), m_ground(ground), m_box(box_of(plan)), m_plane(middle_of(m_box)),
          m_network(ground, m_plane, m_box), m_efforts(efforts(m_network, ground)), m_cheapest(m_network) {
        rule_out_of_reach();
    }

    Between solve() {
        make_stations();
        const ChainGround on{m_network, m_efforts, m_cheapest};
        const auto chain = likeliest_chain(on, m_stations, m_given);
        m_out.legs.resize(m_plan.legs.size());
        m_out.route.name = m_plan.name;
        m_out.route.format = route::Format::card;
        m_out.route.read_as = "card";
        m_out.route.segments.emplace_back();
        for (std::size_t k = 0; k < chain.size(); ++k) {
            if (k == 0) arrive(0, chain[k].from);
            add_leg(k, chain[k]);
            arrive(k + 1, chain[k].to);
        }
        tell_legs_left_out();
        return std::move(m_out);
    }

  private:
    /// Farther out the map beside the ways need not have been read, so nobody could judge a walk there.
    void rule_out_of_reach() {
        std::vector<geo::Metres2> line;
        for (const Checkpoint& checkpoint : m_plan.checkpoints)
            if (checkpoint.square) line.push_back(m_plane.to_plane(checkpoint.square->middle));
        const double most_m = reach_m(m_plan);
        const auto in_reach = [&](const Vertex& vertex) {
            for (std::size_t i = 1; i < line.size(); ++i)
                if (geo::nearest_on_segment(vertex.at, line[i - 1], line[i]).distance_m <= most_m)
                    return true;
            return false;
        };
        for (std::size_t i = 0; i < m_efforts.size(); ++i) {
            const auto vertices = m_network.vertices(m_network.edges()[i]);
            if (!std::all_of(vertices.begin(), vertices.end(), in_reach))
                m_efforts[i].per_m = std::numeric_limits<double>::infinity();
        }
    }

    /// Stations are the checkpoints with squares; what the card gives of the legs over one without is summed.
    void make_stations() {
        for (std::size_t i = 0; i < m_plan.checkpoints.size(); ++i) {
            if (!m_stations.empty()) {
                const LegGiven& leg = m_plan.legs[i - 1];
                LegGiven& sum = m_given.back();
                const bool first = m_stations.back().checkpoint + 1 == i;
                if (!leg.distance_m || (!first && !sum.distance_m))
                    sum.distance_m.reset();
                else
                    sum.distance_m = (first ? 0 : *sum.distance_m) + *leg.distance_m;
                sum.distance_step_m = (first ? 0 : sum.distance_step_m) + leg.distance_step_m;
                sum.on_card = leg.on_card && (first || sum.on_card);
            }
            if (!m_plan.checkpoints[i].square) continue;
            const SquareOnPlane square(*m_plan.checkpoints[i].square, m_plane);
            m_stations.push_back({i, square, spots_in(square, m_network, m_efforts)});
            m_given.emplace_back();
        }
        if (m_stations.size() < 2)
            throw DataError(
                "fewer than two places of the card have a reference that can be read: nothing can "
                "be looked for between them; write grid references into it");
        m_given.pop_back();
    }

    const std::string& name(std::size_t station) const {
        return m_plan.checkpoints[m_stations[station].checkpoint].name;
    }

    void add_position(geo::Position p, std::vector<geo::Position>& line) const {
        if (line.empty() || geo::distance_m(line.back(), p) > 0.01) line.push_back(p);
    }

    void add_piece(const Piece& piece, std::vector<geo::Position>& line) const {
        const Edge& edge = m_network.edges()[piece.edge];
        const auto vertices = m_network.vertices(edge);
        const double low_m = std::min(piece.from_m, piece.to_m), high_m = std::max(piece.from_m, piece.to_m);
        std::vector<geo::Position> part;
        for (const Vertex& v : vertices)
            if (v.offset_m >= low_m && v.offset_m <= high_m) part.push_back(m_ground.nodes[v.node].position);
        if (piece.to_m < piece.from_m) std::reverse(part.begin(), part.end());
        add_position(m_plane.to_position(m_network.at(edge, piece.from_m)), line);
        for (const geo::Position p : part)
            add_position(p, line);
        add_position(m_plane.to_position(m_network.at(edge, piece.to_m)), line);
    }

    LegWalk walk_of(std::size_t k, std::size_t from, std::size_t to, const std::vector<Piece>& way) const {
        LegWalk out;
        const Station &a = m_stations[k], &b = m_stations[k + 1];
        add_position(m_plane.to_position(a.at(from)), out.line);
        for (const Piece& piece : way) {
            add_piece(piece, out.line);
            const map::WayIndex index = m_network.edges()[piece.edge].way;
            if (out.ways.empty() || out.ways.back() != index) out.ways.push_back(index);
        }
        add_position(m_plane.to_position(b.at(to)), out.line);
        for (std::size_t i = 1; i < out.line.size(); ++i)
            out.length_m += geo::distance_m(out.line[i - 1], out.line[i]);
        return out;
    }

    void add_others(std::size_t k, const ChainLeg& leg, LegWays& out) {
        const auto from = terminals_of(m_stations[k]), goals = terminals_of(m_stations[k + 1]);
        const Walked& likeliest = *leg.walk;
        auto found = other_ways(m_network, m_efforts, m_cheapest, from, goals, likeliest,
                                k_longer * likeliest.length_m, k_most_others);
        out.more = found.more;
        for (const Walked& walk : found.walks) {
            out.others.push_back(walk_of(k, walk.from, walk.to, walk.way));
            out.others.back().by = goes_by(m_network, m_ground, walk.way, likeliest.way);
            out.others.back().apart_m = apart_m(m_network, walk.way, likeliest.way);
        }
    }

    /// Where a straight line was taken the walk along ways is checked too, however long.
    void add_round(std::size_t k, const Walked& round, LegWays& out) const {
        out.others.push_back(walk_of(k, round.from, round.to, round.way));
        out.others.back().by = goes_by(m_network, m_ground, round.way, {});
        out.others.back().apart_m = out.others.back().length_m;
    }

    void add_leg(std::size_t k, const ChainLeg& leg) {
        const std::size_t first = m_stations[k].checkpoint, end = m_stations[k + 1].checkpoint;
        LegWays& out = m_out.legs[first];
        out.likeliest = walk_of(k, leg.from, leg.to, leg.walk ? leg.walk->way : std::vector<Piece>{});
        out.why = why(k, leg);
        out.guessed = !out.why.empty();
        if (leg.walk) add_others(k, leg, out);
        if (!leg.walk && leg.round) add_round(k, *leg.round, out);
        const double from_m = m_length_m;
        auto& points = m_out.route.segments.front().points;
        for (const geo::Position p : out.likeliest.line)
            if (points.empty() || geo::distance_m(points.back().position, p) > 0.01)
                points.push_back({p, {}, m_plan.checkpoints[first].source_line});
        m_length_m += out.likeliest.length_m;
        if (out.guessed) add_oddity(from_m, m_length_m, out.likeliest.line.front(), first, out.why);
        // Legs over a checkpoint without a square are one walk, and all of it stands with the first.
        for (std::size_t i = first + 1; i < end; ++i) {
            m_out.legs[i].likeliest.line = {out.likeliest.line.back()};
            m_out.legs[i].guessed = true;
            m_out.legs[i].why = out.why;
        }
    }

    /// Why the walk is a guess; "" where it is not.
    std::string why(std::size_t k, const ChainLeg& leg) const {
        const std::string &a = name(k), &b = name(k + 1);
        const std::size_t first = m_stations[k].checkpoint, end = m_stations[k + 1].checkpoint;
        std::string out;
        const auto say = [&](const std::string& sentence) { out += (out.empty() ? "" : " ") + sentence; };
        if (end - first > 1)
            say(fmt::format(
                "The card gives no reference that can be read for {}: the walk from {} past it to "
                "{} is a guess.",
                m_plan.checkpoints[first + 1].name, a, b));
        if (!m_given[k].on_card)
            say(fmt::format("The card breaks off at {} and goes on at {}: the walk between them is a guess.",
                            a, b));
        if (!leg.walk && leg.round)
            say(fmt::format(
                "The shortest walk along ways from {} to {} on this map is {}: a straight line over "
                "open ground was taken, as a guess.",
                a, b, metres(leg.round->length_m)));
        else if (!leg.walk)
            say(fmt::format(
                "No way that joins {} and {} was found on the map: the straight line between them "
                "is a guess.",
                a, b));
        else if (leg.walk->way.empty())
            say(fmt::format(
                "{} and {} come to the same place on the map: what the team walks between them is "
                "not known.",
                a, b));
        return out;
    }

    /// Legs before the first place with a reference and behind the last are on no line.
    void tell_legs_left_out() {
        for (std::size_t i = 0; i < m_plan.legs.size(); ++i) {
            const bool before = i < m_stations.front().checkpoint;
            if (!before && i < m_stations.back().checkpoint) continue;
            const Checkpoint &a = m_plan.checkpoints[i], &b = m_plan.checkpoints[i + 1];
            LegWays& leg = m_out.legs[i];
            leg.guessed = true;
            leg.why =
                fmt::format("The card gives no reference that can be read for {}: the leg from {} to {} "
                            "was not checked.",
                            (before ? a : b).name, a.name, b.name);
            const auto& points = m_out.route.segments.front().points;
            leg.likeliest.line = {before ? points.front().position : points.back().position};
            const double at_m = before ? 0 : m_length_m;
            add_oddity(at_m, at_m, leg.likeliest.line.front(), i, leg.why);
        }
        std::stable_sort(m_out.route.oddities.begin(), m_out.route.oddities.end(),
                         [](const auto& a, const auto& b) { return a.from_m < b.from_m; });
    }

    void add_oddity(double from_m, double to_m, geo::Position at, std::size_t checkpoint, std::string text,
                    route::OddityKind kind = route::OddityKind::guessed) {
        m_out.route.oddities.push_back({kind, from_m, to_m, to_m - from_m, at,
                                        m_plan.checkpoints[checkpoint].source_line, std::move(text)});
    }

    /// The waypoint, and what is guessed where the checkpoint is on no way.
    void arrive(std::size_t k, std::size_t spot) {
        const Station& station = m_stations[k];
        const Checkpoint& checkpoint = m_plan.checkpoints[station.checkpoint];
        const geo::Position at = m_plane.to_position(station.at(spot));
        m_out.route.waypoints.push_back({checkpoint.name, at, {}, checkpoint.source_line});
        if (station.spots.empty())
            add_oddity(m_length_m, m_length_m, at, station.checkpoint,
                       fmt::format("There is no way in the square of {} nor within a kilometre of it on the "
                                   "map: how the team gets there is a guess.",
                                   checkpoint.name));
        else if (const Spot& taken = station.spots[spot]; taken.off)
            add_oddity(
                std::max(0.0, m_length_m - taken.off_m), m_length_m + taken.off_m, at, station.checkpoint,
                fmt::format("There is no way in the square of {} on the map: the straight line between "
                            "its middle and the nearest way, {} off, is a guess.",
                            checkpoint.name, metres(taken.off_m)),
                route::OddityKind::no_way_there);
    }

    const CardPlan& m_plan;
    const map::Ground& m_ground;
    map::Box m_box;
    MatchPlane m_plane;
    Network m_network;
    std::vector<Effort> m_efforts;
    Cheapest m_cheapest;
    std::vector<Station> m_stations;
    std::vector<LegGiven> m_given; ///< from each station to the next
    double m_length_m = 0;         ///< of the route so far
    Between m_out;
};

const std::string& said(const route::CardPlace& place) {
    return place.name.empty() ? place.reference : place.name;
}

/// "Fulmar, day 1", else the file's name.
std::string name_of(const route::Card& card) {
    if (card.team.empty()) return route::clean_name(std::filesystem::path(card.path).stem().string());
    return route::clean_name(card.day.empty() ? card.team : fmt::format("{}, day {}", card.team, card.day));
}

bool same_place(const route::CardPlace& a, const route::CardPlace& b) {
    if (a.square && b.square)
        return geo::distance_m(a.square->middle, b.square->middle) <
               std::max(1.0, std::max(a.square->size_m, b.square->size_m) / 2);
    return a.square.has_value() == b.square.has_value() ? said(a) == said(b)
                                                        : !a.name.empty() && a.name == b.name;
}

} // namespace

CardPlan plan_of(const route::Card& card) {
    CardPlan out;
    out.name = name_of(card);
    const route::CardPlace* last = nullptr;
    const auto add = [&](const route::CardPlace& place, std::size_t source_line) {
        const std::string& name = said(place);
        out.checkpoints.push_back({name.empty() ? fmt::format("place {}", out.checkpoints.size() + 1) : name,
                                   place.square, source_line});
    };
    for (const route::CardLeg& leg : card.legs) {
        if (!last) {
            add(leg.from, leg.source_line);
        } else if (!same_place(*last, leg.from)) {
            out.legs.push_back({std::nullopt, 100, false});
            add(leg.from, leg.source_line);
        } else if (!out.checkpoints.back().square && leg.from.square) {
            out.checkpoints.back().square = leg.from.square;
        }
        out.legs.push_back({leg.distance_m, leg.distance_step_m, true});
        add(leg.to, leg.source_line);
        last = &leg.to;
    }
    return out;
}

Between between(const CardPlan& plan, const map::Ground& ground) {
    return Solver(plan, ground).solve();
}

double reach_m(const CardPlan& plan) {
    double longest_m = 0;
    const Checkpoint* last = nullptr;
    for (const Checkpoint& checkpoint : plan.checkpoints) {
        if (!checkpoint.square) continue;
        if (last)
            longest_m = std::max(longest_m, geo::distance_m(last->square->middle, checkpoint.square->middle));
        last = &checkpoint;
    }
    return std::min(k_most_reach_m, k_reach_m + k_reach_share * longest_m);
}

} // namespace waywarden::match
