#pragma once

#include "survey/scene.hpp"
#include "survey/survey.hpp"

namespace waywarden::survey {

/// Where the walkers pass an object.
struct Passage {
    double from_m = 0, to_m = 0;
    geo::Position position;
};

/// Sets `closed_then`, `conditional_words`, `passes_at` and `passing_time_known` of a way or a gate. One
/// whose tags say nothing of times is not closed. Where a start was given, the right on foot becomes what
/// conditions say of that time.
void set_timed_facts(Facts& facts, const Scene& scene, const map::Tags& tags, const Passage& passage);

} // namespace waywarden::survey
