#pragma once

#include "match/cheapest.hpp"
#include "match/walker.hpp"

#include <string>
#include <vector>

/// Walks between the same places that differ in earnest.
namespace waywarden::match {

struct Walked {
    std::vector<Piece> way;
    std::size_t from = 0, to = 0; ///< indices of the places set out from and arrived at
    double length_m = 0;          ///< on the plane
};

double length_of(const std::vector<Piece>& way);

/// How many metres of a walk are not along another: farther than 30 m to the side. Nearer, the two are one
/// way to a walker or cannot be told apart on a card.
double apart_m(const Network& network, const std::vector<Piece>& walk, const std::vector<Piece>& other);

/// What a walk goes by where it is apart from another: the name, else the number, else the kind of way that
/// takes up most of it.
std::string goes_by(const Network& network, const map::Ground& ground, const std::vector<Piece>& walk,
                    const std::vector<Piece>& other);

struct OtherWays {
    std::vector<Walked> walks; ///< the shortest first
    bool more = false;         ///< another was found beyond `most`
};

/// Walks from any of `from` to any of `goals` of at most `longest_m` that are apart from `likeliest` and from
/// one another by a fifth of their length or 300 m. By the method of penalties: what was found is made dearer
/// and the search repeated, a few times (de la Barra, Perez and Anez 1993, from memory); so it finds some,
/// not all. Roads count as paths do here. Over what is forbidden only where the likeliest is too.
OtherWays other_ways(const Network& network, const std::vector<Effort>& efforts, Cheapest& cheapest,
                     std::span<const Terminal> from, std::span<const Terminal> goals, const Walked& likeliest,
                     double longest_m, std::size_t most);

} // namespace waywarden::match
