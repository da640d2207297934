#pragma once

#include "geo/grid_reference.hpp"
#include "map/ground.hpp"
#include "route/card.hpp"
#include "route/route.hpp"

#include <optional>
#include <span>
#include <string>
#include <vector>

/// A route card without a line: which ways a team could take from one square to the next.
namespace waywarden::match {

/// A checkpoint. Without a square nobody knows where it is.
struct Checkpoint {
    std::string name; ///< as one says it in a sentence: "Ox Hill" or "OM 603 071"
    std::optional<geo::GridSquare> square;
    std::size_t source_line = 0;
};

/// From checkpoint i to i + 1, as the card has it.
struct LegGiven {
    std::optional<double> distance_m;
    double distance_step_m = 100; ///< how finely it was written
    bool on_card = true; ///< false: the card breaks off at the one checkpoint and goes on at the other
};

struct CardPlan {
    std::string name;
    std::vector<Checkpoint> checkpoints;
    std::vector<LegGiven> legs; ///< one less than there are checkpoints
};

/// The checkpoints of a card in order: a place where one leg ends and the next begins is one.
CardPlan plan_of(const route::Card& card);

/// A walk from one checkpoint to the next.
struct LegWalk {
    std::vector<geo::Position> line; ///< in order; one position where both ends are the same place
    double length_m = 0;             ///< geodesic
    std::vector<map::WayIndex> ways; ///< in order of the walk
    std::string by;     ///< of another walk: what it goes by that the likeliest does not, by length
    double apart_m = 0; ///< of another walk: how much of it is not along the likeliest
};

struct LegWays {
    LegWalk likeliest;
    /// At most 20 % longer and different in earnest, the shortest first; where the likeliest is a straight
    /// line the walk along ways, if there is one, of whatever length.
    std::vector<LegWalk> others;
    bool more = false;    ///< there were more of them than are kept
    bool guessed = false; ///< no way known to join the ends: a straight line over open ground
    std::string why;      ///< where guessed, or where an end is off any way: one sentence
};

struct Between {
    std::vector<LegWays> legs; ///< as the plan has them
    /// The likeliest walks as one line: format card, read_as "card", a waypoint a checkpoint, and an oddity
    /// of kind `guessed` or `no_way_there` wherever the line is no more than a guess. Without other oddities.
    route::Route route;
};

/// Finds the walks. How a walker is presumed to choose: walker.hpp. Of the ways that join two squares the
/// likeliest is the one that costs the least effort over the whole card; where the card gives a distance and
/// another walk fits it better, that one. The others: see LegWays. Lengths are compared on the ground; climb
/// is not looked at. Throws DataError where no two checkpoints have squares.
Between between(const CardPlan& plan, const map::Ground& ground);

/// How far to the sides of the straight lines from square to square walks are looked for. The map is wanted
/// as much farther as a walk is judged by what lies beside it.
double reach_m(const CardPlan& plan);

} // namespace waywarden::match
