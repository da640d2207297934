#pragma once

#include "assess.hpp"

#include <string>
#include <vector>

/// The questions for those who planned a walk: where to look again, not what is wrong.
namespace waywarden::report {

/// A question and where it is asked.
struct TeamQuestion {
    double at_m = 0;
    std::string
        where; ///< "At OM 606 091", "From OM 603 071 to OM 609 071"; "" where the question says so itself
    std::string text;
};

/// The questions of one leg.
struct TeamLeg {
    std::string heading; ///< "Leg 3: Wendrith Bridge to Gannet Stones"; "The whole walk"
    std::vector<TeamQuestion> questions;
};

constexpr std::size_t k_most_questions = 10; ///< more than these nobody works through

/// The places that matter most, one question a rule and leg, in order of the walk. Findings that were
/// accepted, and those that only tell of the map, are no questions to a team.
std::vector<TeamLeg> team_questions(const Assessed& route);

/// Whose sheet it is: the team as its card says, else the name of the route.
std::string team_name(const Assessed& route);

/// The words around the questions, one paragraph each.
std::vector<std::string> team_opening();
std::vector<std::string> team_closing();

} // namespace waywarden::report
