#pragma once

#include "survey/survey.hpp"

#include <optional>
#include <vector>

/// Lines for reports that draw.
namespace waywarden::report {

using Line = std::vector<geo::Position>;

/// The line walked between two distances along the route, in one piece where the stretches meet; a gap in
/// the route begins another. Each has two positions or more that differ; none where nothing is left.
std::vector<Line> line_between(const std::vector<survey::StretchSurvey>& stretches, double from_m,
                               double to_m);

/// The same lines cut where they pass 180 degrees, both sides ending there (RFC 7946, 3.1.9). A step of more
/// than half the globe in longitude is taken to go the short way round. Lines of fewer than two positions
/// are left out.
std::vector<Line> cut_at_antimeridian(const std::vector<Line>& lines);

/// The smallest box; west is greater than east where it spans 180 degrees (RFC 7946, 5.2). None for no
/// positions.
std::optional<map::Box> box_around(const Line& positions);

} // namespace waywarden::report
