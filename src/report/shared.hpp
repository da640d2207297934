#pragma once

#include "assess.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace waywarden::report {

/// One thing on the map that findings of several routes rest on: a bridge that six routes need.
struct Shared {
    const rules::Finding* finding = nullptr; ///< of the first route that has it
    geo::Position position;                  ///< of that finding, as a result has it: to 1e-7 degrees
    geo::GridSystem grid = geo::GridSystem::utm;
    std::string osm;
    std::vector<const Assessed*> routes; ///< in the order given; each once
};

/// Objections and cautions of one rule whose first evidence is the same object, on two routes or more; those
/// of most routes first, then the graver, else in the order of the routes. Accepted ones count too.
std::vector<Shared> shared_findings(const Assessment& assessment);

inline constexpr std::size_t k_most_shared = 12; ///< that a summary names

/// "3 routes: Water with no way over recorded, OM 606 091 (way/4): Team Fulmar, …".
std::string shared_words(const Shared& shared);

} // namespace waywarden::report
