#pragma once

#include "survey/scene.hpp"
#include "survey/survey.hpp"

/// Typed facts written into the table's names.
namespace waywarden::survey {

/// Sets what stretches and crossings have in common: class, name, lifecycle, speed, lanes, surface and so on.
/// Facts the map does not give are set as unknown, so that results show them.
void set_way_facts(Facts& facts, const map::Tags& tags, const map::WayFacts& way);

/// The facts of a stretch alone: right, pavement, mountain grade, bridge and tunnel.
void set_stretch_way_facts(Facts& facts, const map::WayFacts& way);

/// An object with those of its tags that bear on a verdict, in order of key.
Evidence evidence_of(const map::Object& object);

/// Name, else reference, else "".
std::string name_of(const map::Tags& tags);

void set_text(Facts& facts, std::string_view name, std::string_view value);           ///< unknown where empty
void set_flag(Facts& facts, std::string_view name, const std::optional<bool>& value); ///< unknown where none
/// Sets a choice; a value the table does not have becomes `other` where there is one, else unknown.
void set_choice(Facts& facts, std::string_view name, std::string_view value);

} // namespace waywarden::survey
