#pragma once

#include "survey/hits.hpp"
#include "survey/survey.hpp"

#include <vector>

namespace waywarden::survey {

/// Hits with everything known of them: names, facts, what helps to get across within 30 m along the road,
/// places and evidence. In the order of the hits.
std::vector<Crossing> describe_crossings(const Scene& scene, const std::vector<Hit>& hits);

} // namespace waywarden::survey
