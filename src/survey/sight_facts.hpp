#pragma once

#include "survey/hits.hpp"
#include "survey/sight.hpp"
#include "survey/survey.hpp"

#include <vector>

/// Sight and time to cross, written into the table's names.
namespace waywarden::survey {

/// For every crossing of a road at grade: how far one sees, how far the group must see, and the grade of the
/// one against the other. `crossings` are those made of `hits`, in the same order.
void set_sight_of_crossings(const Scene& scene, const Roads& roads, const std::vector<Hit>& hits,
                            const Given& given, std::vector<Crossing>& crossings);

/// For stretches along a road on which no pavement is recorded: the least sight along them, and where;
/// every piece where it is below the stopping sight distance even with 4 m clear becomes a spot `blind_bend`.
void set_sight_of_stretches(const Scene& scene, const Roads& roads, std::vector<StretchSurvey>& stretches,
                            std::vector<Spot>& spots);

} // namespace waywarden::survey
