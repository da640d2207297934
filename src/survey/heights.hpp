#pragma once

#include "route/route.hpp"
#include "survey/walking_time.hpp"

#include <optional>
#include <string>
#include <vector>

namespace waywarden::survey {

class HeightModel;

/// Heights along a route at even steps, smoothed, and what was climbed and descended up to each. Where the
/// height is not known it is absent, and nothing is reckoned over it.
struct HeightLine {
    double step_m = 0, length_m = 0;
    std::vector<std::optional<double>> height_m; ///< at 0, step, 2 step, … and the end
    std::vector<double> ascent_m, descent_m;     ///< from the start, what is unknown left out; sizes as above
    std::string words;   ///< how they were come by; "" where no height is known at all
    std::string why_not; ///< one sentence where heights were there and are not believed
};

/// Heights from the file's own elevations. Between two points that both have one and lie at most 300 m apart
/// height changes evenly; elsewhere it is unknown, and so is a file in which every elevation is the same.
///
/// The method, for both sources: heights are taken every 10 m, averaged over 50 m, and a rise or fall counts
/// only once it exceeds 5 m, then whole; so noise of a metre or two does not add up to a climb, and a hump
/// under 5 m is not counted. Common practice, no source for the three figures.
HeightLine heights_of_file(const route::Route& route);

/// Heights of the ground under the line from a raster.
HeightLine heights_of_model(const route::Route& route, const HeightModel& model);

struct Climb {
    double ascent_m = 0, descent_m = 0; ///< both positive
};

/// Between two distances along the route. The parts of a route add up to the whole. Nothing where the height
/// of any of it is unknown.
std::optional<Climb> climb_between(const HeightLine& line, double from_m, double to_m);

/// The same as pieces of about 50 m for walking_min(). Empty where climb_between() gives nothing, or where
/// from_m is not less than to_m.
std::vector<ProfilePiece> pieces_between(const HeightLine& line, double from_m, double to_m);

/// How much of the line has a height, 0 to 1.
double share_known(const HeightLine& line);

} // namespace waywarden::survey
