#include "survey/card_places.hpp"

#include "error.hpp"
#include "survey/card_slips.hpp"
#include "survey/survey.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

namespace waywarden::survey {

namespace {

constexpr double k_half_diagonal = 0.71; ///< of a square's side
constexpr double k_plotting_m = 100;     ///< common practice: a point is plotted to half a figure
constexpr double k_plotting_meant_m =
    60;                              ///< a slip must fit more closely, as there are several to choose from
constexpr double k_one_pass_m = 200; ///< of walk between two passes that are two
constexpr double k_back_m = 60;      ///< a place may seem so far behind the one before it
constexpr double k_apart_m = 150;    ///< two references of one place differ no more
constexpr double k_cost_slip = 4, k_cost_not_placed = 8, k_cost_distance_most = 3;
constexpr double k_slip_misfit_most = 2; ///< a slip must agree with the distances on the card

/// The line on a plane, with metres along it.
struct PlaneLine {
    struct Piece {
        geo::Metres2 a, b;
        double from_m = 0, to_m = 0;
    };
    geo::LocalFrame frame;
    std::vector<Piece> pieces;
    double length_m = 0;
};

PlaneLine plane_line(const route::Route& route) {
    const auto along = route::metres_along(route);
    PlaneLine out{geo::LocalFrame(route.segments.front().points.front().position), {}, 0};
    for (std::size_t s = 0; s < route.segments.size(); ++s) {
        const auto& points = route.segments[s].points;
        for (std::size_t i = 0; i + 1 < points.size(); ++i)
            out.pieces.push_back({out.frame.to_plane(points[i].position),
                                  out.frame.to_plane(points[i + 1].position), along[s][i], along[s][i + 1]});
        if (!along[s].empty()) out.length_m = along[s].back();
    }
    return out;
}

struct Pass {
    double at_m = 0, aside_m = 0;
};

/// The places where the line comes nearest, each no farther than `within_m`, in order of the walk.
std::vector<Pass> passes_of(const PlaneLine& line, geo::Position position, double within_m) {
    const geo::Metres2 p = line.frame.to_plane(position);
    std::vector<Pass> out;
    for (const PlaneLine::Piece& piece : line.pieces) {
        const auto near = geo::nearest_on_segment(p, piece.a, piece.b);
        if (near.distance_m > within_m) continue;
        const Pass pass{piece.from_m + near.fraction * (piece.to_m - piece.from_m), near.distance_m};
        if (out.empty() || pass.at_m - out.back().at_m > k_one_pass_m)
            out.push_back(pass);
        else if (pass.aside_m < out.back().aside_m)
            out.back() = pass;
    }
    return out;
}

double off_m(const PlaneLine& line, const route::Route& route, geo::Position position) {
    const geo::Metres2 p = line.frame.to_plane(position);
    double best_m = std::numeric_limits<double>::infinity(), at_m = 0;
    for (const PlaneLine::Piece& piece : line.pieces) {
        const auto near = geo::nearest_on_segment(p, piece.a, piece.b);
        if (near.distance_m >= best_m) continue;
        best_m = near.distance_m;
        at_m = piece.from_m + near.fraction * (piece.to_m - piece.from_m);
    }
    return geo::distance_m(position, position_at(route, at_m));
}

/// One way to read a place of the card.
struct Candidate {
    ReferenceFault fault = ReferenceFault::none;
    double at_m = 0, cost = 0;
    geo::Position position;
    std::string meant;
};

std::vector<Candidate> candidates_of(const route::CardPlace& place, const PlaneLine& line,
                                     geo::GridSystem grid, const std::vector<std::string>& letters) {
    std::vector<Candidate> out;
    if (!place.square) return out;
    const auto add = [&](ReferenceFault fault, const geo::GridSquare& square, double plotting_m, double cost,
                         const std::string& meant) {
        const double within_m = k_half_diagonal * square.size_m + plotting_m;
        for (const Pass& pass : passes_of(line, square.middle, within_m))
            out.push_back({fault, pass.at_m, cost + pass.aside_m / within_m, square.middle, meant});
    };
    add(ReferenceFault::none, *place.square, k_plotting_m, 0, "");
    for (const Slip& slip : slips_of(place, grid, letters))
        add(slip.fault, slip.square, k_plotting_meant_m, k_cost_slip, slip.reference);
    return out;
}

/// How badly the walk between two places fits the distance on the card: 1 for a tenth and 200 m.
double misfit(double walked_m, std::optional<double> card_m) {
    return card_m ? std::abs(walked_m - *card_m) / (0.1 * *card_m + 200) : 0;
}

struct Puzzle {
    std::vector<std::vector<Candidate>> candidates; ///< by end
    std::vector<std::optional<double>> distances_m; ///< from end i to end i + 1, 0 where they are one place
    std::optional<double> between(std::size_t i, std::size_t j) const {
        double sum = 0;
        for (; i < j; ++i) {
            if (!distances_m[i]) return std::nullopt;
            sum += *distances_m[i];
        }
        return sum;
    }
};

struct Step {
    double cost = std::numeric_limits<double>::infinity();
    std::optional<std::pair<std::size_t, std::size_t>> before; ///< end and candidate
};

/// Costs of coming to candidate `c` of end `i` from candidate `b` of end `j`.
double step_cost(const Puzzle& puzzle, std::size_t j, const Candidate& b, std::size_t i, const Candidate& c) {
    const double walked_m = c.at_m - b.at_m;
    const double skipped = static_cast<double>(i - j - 1) * k_cost_not_placed;
    const double bad = misfit(walked_m, puzzle.between(j, i));
    const bool slip = b.fault != ReferenceFault::none || c.fault != ReferenceFault::none;
    if (walked_m < -k_back_m || (slip && bad > k_slip_misfit_most))
        return std::numeric_limits<double>::infinity();
    return skipped + std::min(bad, k_cost_distance_most) + c.cost;
}

/// The cheapest reading of all places together: the candidate of each end, or none.
std::vector<std::optional<std::size_t>> solved(const Puzzle& puzzle) {
    const std::size_t n = puzzle.candidates.size();
    std::vector<std::vector<Step>> steps(n);
    std::pair<double, std::optional<std::pair<std::size_t, std::size_t>>> best{
        static_cast<double>(n) * k_cost_not_placed, std::nullopt};
    for (std::size_t i = 0; i < n; ++i) {
        steps[i].resize(puzzle.candidates[i].size());
        for (std::size_t c = 0; c < steps[i].size(); ++c) {
            Step& step = steps[i][c];
            const Candidate& here = puzzle.candidates[i][c];
            step.cost = static_cast<double>(i) * k_cost_not_placed + here.cost;
            for (std::size_t j = 0; j < i; ++j)
                for (std::size_t b = 0; b < steps[j].size(); ++b) {
                    const double cost =
                        steps[j][b].cost + step_cost(puzzle, j, puzzle.candidates[j][b], i, here);
                    if (cost < step.cost) step = {cost, std::pair{j, b}};
                }
            const double whole = step.cost + static_cast<double>(n - 1 - i) * k_cost_not_placed;
            if (whole < best.first) best = {whole, std::pair{i, c}};
        }
    }
    std::vector<std::optional<std::size_t>> out(n);
    for (auto at = best.second; at; at = steps[at->first][at->second].before)
        out[at->first] = at->second;
    return out;
}

bool same_place(const route::CardPlace& a, const route::CardPlace& b) {
    if (a.square && b.square) return geo::distance_m(a.square->middle, b.square->middle) <= k_apart_m;
    return a.reference == b.reference || (!a.name.empty() && a.name == b.name);
}

/// Ends in order of the walk; a place that two legs share is one.
CardPlaces ends_of(const route::Card& card, std::vector<std::optional<double>>& distances_m) {
    CardPlaces out;
    for (const route::CardLeg& leg : card.legs) {
        if (out.ends.empty() || !same_place(out.ends.back().place, leg.from)) {
            if (!out.ends.empty()) distances_m.push_back(std::nullopt); // nobody said how they get there
            out.ends.emplace_back();
            out.ends.back().place = leg.from;
            out.ends.back().source_line = leg.source_line;
        }
        out.from.push_back(out.ends.size() - 1);
        out.ends.emplace_back();
        out.ends.back().place = leg.to;
        out.ends.back().source_line = leg.source_line;
        out.to.push_back(out.ends.size() - 1);
        distances_m.push_back(leg.distance_m);
    }
    return out;
}

/// Ends that could not be placed lie between their neighbours as the card's distances part the walk.
void put_between(CardPlaces& places, const Puzzle& puzzle, double length_m, const route::Route& route) {
    auto& ends = places.ends;
    for (std::size_t i = 0; i < ends.size(); ++i) {
        if (ends[i].placed) continue;
        std::size_t after = i;
        while (after < ends.size() && !ends[after].placed)
            ++after;
        const double low_m = i == 0 ? 0 : ends[i - 1].at_m;
        const double high_m = after == ends.size() ? length_m : ends[after].at_m;
        const std::size_t first = i == 0 ? 0 : i - 1, last = std::min(after, ends.size() - 1);
        const auto whole = puzzle.between(first, last), part = puzzle.between(first, i);
        double share = last > first ? static_cast<double>(i - first) / static_cast<double>(last - first) : 0;
        if (whole && part && *whole > 0) share = *part / *whole;
        ends[i].at_m = low_m + share * (high_m - low_m);
        ends[i].position = position_at(route, ends[i].at_m);
        ends[i].at_m = std::max(ends[i].at_m, low_m);
    }
}

constexpr double k_coast_within_m = 5000;

/// Whether the nearest coastline has the place on its right, where the map shows the sea (OSM's rule for
/// natural=coastline). Only coastlines of the ground that was read count.
bool in_sea(const map::Ground& ground, geo::Position position) {
    const geo::LocalFrame frame(position);
    double best_m = k_coast_within_m;
    bool sea = false;
    for (const map::Way& way : ground.ways) {
        if (!way.object.tags.is("natural", "coastline")) continue;
        for (std::size_t i = 0; i + 1 < way.nodes.size(); ++i) {
            const geo::Metres2 a = frame.to_plane(ground.nodes[way.nodes[i]].position);
            const geo::Metres2 b = frame.to_plane(ground.nodes[way.nodes[i + 1]].position);
            const auto near = geo::nearest_on_segment({0, 0}, a, b);
            if (near.distance_m >= best_m) continue;
            best_m = near.distance_m;
            sea = geo::cross(b - a, geo::Metres2{0, 0} - a) < 0;
        }
    }
    return sea;
}

void name_fault(CardEnd& end, bool on_line_somewhere, const map::Ground& ground) {
    if (end.place.reference.empty())
        end.fault = ReferenceFault::not_given;
    else if (!end.place.square)
        end.fault = ReferenceFault::not_readable;
    else if (on_line_somewhere)
        end.fault = ReferenceFault::out_of_order;
    else
        end.fault =
            in_sea(ground, end.place.square->middle) ? ReferenceFault::in_sea : ReferenceFault::off_line;
}

std::vector<std::string> letters_along(const route::Route& route, geo::GridSystem grid) {
    std::set<std::string> out;
    for (const route::Segment& segment : route.segments) {
        const std::size_t step = std::max<std::size_t>(1, segment.points.size() / 50);
        for (std::size_t i = 0; i < segment.points.size(); i += step)
            out.insert(square_letters(segment.points[i].position, grid));
        out.insert(square_letters(segment.points.back().position, grid));
    }
    return {out.begin(), out.end()};
}

} // namespace

const char* to_string(ReferenceFault fault) {
    switch (fault) {
    case ReferenceFault::none:
        return "none";
    case ReferenceFault::not_given:
        return "not_given";
    case ReferenceFault::not_readable:
        return "not_readable";
    case ReferenceFault::off_line:
        return "off_line";
    case ReferenceFault::out_of_order:
        return "out_of_order";
    case ReferenceFault::swapped:
        return "swapped";
    case ReferenceFault::transposed:
        return "transposed";
    case ReferenceFault::wrong_square:
        return "wrong_square";
    case ReferenceFault::in_sea:
        return "in_sea";
    }
    throw InternalError("a fault of a reference without a name");
}

CardPlaces card_places(const route::Card& card, const route::Route& route, const map::Ground& ground) {
    Puzzle puzzle;
    CardPlaces out = ends_of(card, puzzle.distances_m);
    const PlaneLine line = plane_line(route);
    const std::vector<std::string> letters = letters_along(route, card.grid);
    for (const CardEnd& end : out.ends)
        puzzle.candidates.push_back(candidates_of(end.place, line, card.grid, letters));
    const auto chosen = solved(puzzle);
    for (std::size_t i = 0; i < out.ends.size(); ++i) {
        CardEnd& end = out.ends[i];
        const auto& candidates = puzzle.candidates[i];
        if (chosen[i]) {
            const Candidate& one = candidates[*chosen[i]];
            end.fault = one.fault;
            end.at_m = one.at_m;
            end.placed = true;
            end.position = one.position;
            end.meant = one.meant;
        } else {
            const bool somewhere =
                std::any_of(candidates.begin(), candidates.end(),
                            [](const Candidate& one) { return one.fault == ReferenceFault::none; });
            name_fault(end, somewhere, ground);
        }
        if (end.fault != ReferenceFault::none && end.place.square)
            end.off_m = off_m(line, route, end.place.square->middle);
    }
    put_between(out, puzzle, line.length_m, route);
    return out;
}

} // namespace waywarden::survey
