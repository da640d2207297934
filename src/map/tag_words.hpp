#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace waywarden::map {

/// Lower case, without blanks at the ends.
std::string tidied(std::string_view text);

/// The parts of a value between separators, tidied, without empty ones.
std::vector<std::string> parts_of(std::string_view value, char separator = ';');

/// The number at the front and the unit behind it, tidied: "2.5 m" -> 2.5, "m". False where none stands
/// there.
bool number_and_unit(const std::string& text, double& number, std::string& unit);

} // namespace waywarden::map
