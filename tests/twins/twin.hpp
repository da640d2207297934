#pragma once

#include "tiny_map.hpp"

#include <string>
#include <vector>

/// Each rule with a tiny map on which it must speak and a harmless one, as like it as can be, on which it
/// must not; both go through the whole program: reading the map and the line, matching, survey and judging.
namespace waywarden::twins {

using Objects = std::vector<std::string>;

/// A drawing (see tiny_map.hpp), what is always on it, and the walk over it.
struct Picture {
    std::string drawing;
    double metres_per_cell = 10;
    std::string walk; ///< letters; a blank begins a new segment, see WalkFile
    Objects always;
};

struct Twin {
    std::string rule;
    const Picture& picture;
    Objects hazard;   ///< what the dangerous map holds beside the picture's own
    std::string says; ///< every finding there, "rule:level" joined by ", ", sorted
    Objects harmless; ///< the same of the twin
    std::string twin_says{};
    std::string walk{};      ///< in place of the picture's
    std::string twin_walk{}; ///< in place of the picture's or `walk`
    std::string region = "england";
    std::string party = "{}"; ///< a shipped one, or JSON: what is other in a party of no sets of its own
    std::vector<std::string> sets{}; ///< rule sets beside the party's
    std::string date = "2026-06-15"; ///< of the check; maps are edited on 2026-06-01
    std::string start{};             ///< of the walk, by the clock of the place
    std::string twin_date{}, twin_start{}, twin_party{}, twin_region{}; ///< where they differ
    double every_m = 20; ///< distance of the points of the line
    double twin_every_m = 20;
    std::string also_in_file{}; ///< more GPX elements, in the dangerous case only
};

std::vector<Twin> road_twins();
std::vector<Twin> crossing_twins();
std::vector<Twin> water_twins();
std::vector<Twin> rail_twins();
std::vector<Twin> right_twins();
std::vector<Twin> time_twins();
std::vector<Twin> barrier_twins();
std::vector<Twin> ground_twins();
std::vector<Twin> path_twins();
std::vector<Twin> map_twins();
std::vector<Twin> line_twins();
std::vector<Twin> youth_twins();
std::vector<Twin> crowd_twins();
std::vector<Twin> club_twins();
std::vector<Twin> light_twins();

} // namespace waywarden::twins
