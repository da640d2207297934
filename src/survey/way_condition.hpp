#pragma once

#include "map/kinds.hpp"
#include "survey/facts.hpp"

/// What the tags of a way say of its state: how firm, how steep, whether it is overgrown, and of dogs.
namespace waywarden::survey {

/// Sets smoothness, tracktype, incline_pct, obstacle, overgrown, informal and dogs_allowed. What is not
/// recorded stays unknown. Source of the keys: OSM wiki, Key:smoothness, Key:tracktype, Key:incline,
/// Key:obstacle, Key:overgrown, Key:informal, Key:dog.
void set_condition_facts(Facts& facts, const map::Tags& tags);

/// The steepness that a value of `incline` gives in percent, whichever way it goes: "12%", "-12 %", "10°".
/// None for "up", "down" and "steep", and for what cannot be read or is over 200 %.
std::optional<double> incline_pct(std::string_view value);

} // namespace waywarden::survey
