#pragma once

#include "assess.hpp"
#include "rules/finding.hpp"

#include <nlohmann/json.hpp>

#include <optional>
#include <string>
#include <vector>

/// Pieces that every JSON-based format writes the same way.
namespace waywarden::report {

using Json = nlohmann::ordered_json;

/// Rounded to 1/scale; null where it is no finite number.
Json number(double value, double scale);
Json metres(double value);      ///< to 0.01
Json position(geo::Position p); ///< [longitude, latitude], 7 digits (1 cm)
Json osm(const std::optional<map::ObjectId>& id);
Json facts(const survey::Facts& all); ///< by name; null where unknown
Json evidence(const std::vector<survey::Evidence>& all);

/// A finding as results and files of accepted findings hold it, but for what the route adds.
Json finding_json(const rules::Finding& finding);

/// What several routes share, all of it; empty for one route.
Json shared_json(const Assessment& assessment);

/// The text of a JSON document, a line break at its end; bytes that are no UTF-8 are replaced.
std::string json_text(const Json& whole);

} // namespace waywarden::report
