#pragma once

#include "match/network.hpp"

#include <vector>

/// How a walker with a map is presumed to choose between ways. Common practice, no source: nobody has
/// measured it, so what rests on it is always told as likely and never as known.
namespace waywarden::match {

/// How long a metre of a way is to somebody who plans a walk, next to a metre of footpath. Only the order is
/// meant in earnest: paths before quiet roads, quiet roads before main roads; what is forbidden on foot only
/// where there is nothing else.
struct Effort {
    double per_m = 1;       ///< what the likeliest walk is chosen by; infinity: nobody walks there
    bool forbidden = false; ///< the map says that one must not walk here, or that it is private
};
Effort effort_of(const map::Tags& tags, map::Access access);

/// For every edge of the network.
std::vector<Effort> efforts(const Network& network, const map::Ground& ground);

} // namespace waywarden::match
