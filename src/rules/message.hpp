#pragma once

#include "rules/rule.hpp"

#include <functional>
#include <string>
#include <vector>

/// Messages in words a leader reads. Never more than the map says: what is not recorded is called that.
namespace waywarden::rules {

/// A template with {fact} and {fact_words}; refuses names that are no fact of this kind of subject.
std::string read_message(const Value& value, survey::SubjectKind about);

/// Fills a template. Where several subjects were joined their different values are listed, at most three.
/// `length_m` counts for {length_m}.
std::string fill_message(const std::string& text, const std::vector<const survey::Facts*>& subjects,
                         double length_m);

/// The value as a reader says it: "not recorded", "60 mph", "no pavement is recorded".
std::string fact_words(const std::string& name, const survey::Facts& facts);

/// 350 m, 12.4 km.
std::string metres_words(double metres);

/// "a minor road", "Kirk Lane", "an unnamed stream": the name, or what kind of thing it is.
std::string name_words(const survey::Facts& facts);

/// A fact's name for a reader: "speed limit".
std::string fact_title(const std::string& name);

} // namespace waywarden::rules
