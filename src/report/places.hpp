#pragma once

#include "assess.hpp"

#include <string>
#include <string_view>
#include <vector>

/// Places on the way (Survey::places), as reports tell of them.
namespace waywarden::report {

std::string place_words(std::string_view kind); ///< "car park", "drinking water", "defibrillator"

/// Kinds that help in need or that a party cannot do without, the most urgent first.
const std::vector<std::string_view>& needed_kinds();

/// "Sund Quay car park" or "car park", with how far aside.
std::string place_line(const survey::PlaceOnTheWay& place);

} // namespace waywarden::report
