#pragma once

#include "map/surroundings.hpp"
#include "survey/survey.hpp"

namespace waywarden::survey {

/// Sets on stretches and crossings of roads and paths how much of the ways of their class nearby carries the
/// tags that a verdict rests on, in per cent of length; unknown where the class has no length. It tells what
/// the silence of the map is worth: near nothing where hardly any road says.
void set_tag_shares(const map::TaggedLengths& nearby, Survey& out);

} // namespace waywarden::survey
