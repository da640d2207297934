#pragma once

#include "survey/scene.hpp"
#include "survey/survey.hpp"

#include <optional>

/// What a party of many people needs to know of a walk beside its dangers: where it queues, how long it holds
/// up a road, how far it goes without toilets, and how it gets away again.
namespace waywarden::survey {

/// Seconds from one walker to the next on a piece of the walk that lets one through at a time; none where
/// they pass as they walk. A ladder 15 s, a ford 4 s, steps 2 s, else by the recorded width
/// (survey/queue.hpp). Common practice, no source.
std::optional<double> pass_s_per_walker_on(const Facts& stretch);

/// Minutes that a road is held up while the whole party goes over it group after group, 10 s between two
/// groups; waiting for traffic is not counted. Common practice, no source for the 10 s.
double party_cross_min(double group_cross_time_s, int people, int group_size);

/// Sets `queue_min` on stretches and barriers and `party_cross_min` on crossings of roads and railways;
/// nothing where the number of people is not known.
void set_party_times(const Given& given, Survey& out);

/// Route facts: metres along roads, the longest way between two recorded toilets, water taps and ways off,
/// and what is recorded at the start. Comes after the places on the way were collected.
void set_route_needs(const Scene& scene, Survey& out);

/// A car park, toilets and the like count for the start where they lie within 100 m of the first 300 m of the
/// walk, a car park also where it lies as near in any direction. Common practice, no source.
constexpr double k_start_m = 300;

} // namespace waywarden::survey
