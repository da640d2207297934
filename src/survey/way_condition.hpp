#pragma once

#include "survey/facts.hpp"
#include "survey/scene.hpp"

#include <span>
#include <string>

/// What the tags of a way say of its state: how firm, how steep, whether it is overgrown, and of dogs.
namespace waywarden::survey {

/// Sets smoothness, tracktype, incline_pct, obstacle, overgrown, informal and dogs_allowed. What is not
/// recorded stays unknown. Source of the keys: OSM wiki, Key:smoothness, Key:tracktype, Key:incline,
/// Key:obstacle, Key:overgrown, Key:informal, Key:dog.
void set_condition_facts(Facts& facts, const map::Tags& tags);

/// A way mapped as one in use with a mark that it is not (OSM wiki, Key:disused, Key:abandoned), "" for none:
/// in doubt the mark holds for who walks it, not for what moves on a road that is crossed. In stretches.cpp.
std::string_view marked_state(const map::Tags& tags);

/// The steepness that a value of `incline` gives in percent, whichever way it goes: "12%", "-12 %", "10°".
/// None for "up", "down" and "steep", and for what cannot be read or is over 200 %.
std::optional<double> incline_pct(std::string_view value);

/// Whether walkers may go along a way and against it, where tags tell the two directions apart
/// (`foot:forward`, `foot:backward`, `oneway:foot`; OSM wiki, Key:oneway:foot and forward & backward).
struct OnewayOnFoot {
    bool along = true, against = true; ///< by the order of the way's nodes
    std::string words;                 ///< the tags as written; "" where there are none
};
OnewayOnFoot oneway_on_foot(const map::Tags& tags);

/// How far a piece of the walk goes the way's own way, by the order of its nodes, and how far against it.
/// `walked` are places on the way in the order walked, with every node passed.
struct WalkedAlong {
    double along_m = 0, against_m = 0;
};
WalkedAlong walked_along(const Scene& scene, map::WayIndex way, std::span<const match::TracePoint> walked);

/// Sets `oneway_on_foot` and `against_oneway`, only where tags tell the directions apart.
void set_oneway_facts(Facts& facts, const Scene& scene, map::WayIndex way,
                      std::span<const match::TracePoint> walked);

} // namespace waywarden::survey
