#pragma once

#include "survey/areas.hpp"
#include "survey/survey.hpp"
#include "survey/water.hpp"

#include <vector>

namespace waywarden::survey {

/// The pieces of the walk with their facts; they cover the route as the trace does. Open ground that lies in
/// open water is a piece of its own with access `water`.
std::vector<StretchSurvey> describe_stretches(const Scene& scene, const AreaFinder& finder,
                                              const std::vector<WaterSpan>& waters);

} // namespace waywarden::survey
