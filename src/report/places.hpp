#pragma once

#include "assess.hpp"

#include <nlohmann/json.hpp>

#include <string>
#include <string_view>
#include <vector>

/// Places on the way (Survey::places), as reports tell of them.
namespace waywarden::report {

std::string place_words(std::string_view kind); ///< "car park", "drinking water", "defibrillator"

/// Kinds that help in need or that a party cannot do without, the most urgent first.
const std::vector<std::string_view>& needed_kinds();

/// "car park “Sund Quay”, 40 m aside".
std::string place_line(const survey::PlaceOnTheWay& place);

/// Those of needed kinds that a short report names, in order of the walk: at most three of a kind, twelve in
/// all.
std::vector<const survey::PlaceOnTheWay*> short_list(const survey::Survey& survey);

/// "And more: 3 × car park." where the short list leaves some out, else "".
std::string more_places_words(const survey::Survey& survey);
/// Of which needed kinds none is recorded near the route; "" where each is.
std::string no_places_words(const survey::Survey& survey);

/// The array `places` of a result.
nlohmann::ordered_json places_json(const survey::Survey& survey);

} // namespace waywarden::report
