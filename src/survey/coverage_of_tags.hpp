#pragma once

#include "survey/scene.hpp"
#include "survey/survey.hpp"

#include <map>
#include <string_view>

/// How much of the ways of one class, by length and in all that was read of the map, carries the tags that a
/// verdict rests on. It tells what the silence of the map is worth: near nothing where hardly any road says.
namespace waywarden::survey {

/// Metres of ways of one class, and of those that carry a tag; a tag that says "no" is carried too.
struct TaggedLength {
    double all_m = 0, pavement_m = 0, speed_m = 0, lit_m = 0, right_m = 0, surface_m = 0;
};

/// By the value of `highway`. Ways are counted whole, also where they lead out of what was read.
std::map<std::string_view, TaggedLength> tagged_lengths(const Scene& scene);

/// Sets the shares on stretches and crossings of roads and paths, in per cent; unknown where the class has no
/// length.
void set_tag_shares(const Scene& scene, Survey& out);

/// Says how far "nearby" goes, and of each layer that is empty in all that was read that its checks were not
/// made, in plain words.
std::vector<std::string> empty_layers(const Scene& scene, const Given& given);

} // namespace waywarden::survey
