#pragma once

#include "twin.hpp"

#include <string>
#include <vector>

namespace waywarden::twins {

enum class Which { hazard, harmless };

/// What a run of the whole program told.
struct Outcome {
    std::string says;    ///< every finding, "rule:level" joined by ", ", sorted
    std::string in_full; ///< with places and messages
};

/// Reads the map and the line of a row from files, matches, surveys and judges.
Outcome run(const Twin& twin, Which which, const Change& change = {});

/// The rows of every file of this folder.
std::vector<Twin> all_twins();

} // namespace waywarden::twins
