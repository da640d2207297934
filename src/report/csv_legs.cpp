#include "report/csv_cells.hpp"
#include "report/leg_words.hpp"
#include "report/write.hpp"

#include <cmath>
#include <ostream>

namespace waywarden::report {

namespace {

std::string known(const std::optional<double>& value, int digits) {
    return value ? number_cell(*value, digits) : "";
}

/// Three digits, so that a spreadsheet that is told it is text keeps 034.
std::string bearing_cell(const std::optional<double>& bearing_deg) {
    return bearing_deg ? bearing_words(bearing_deg) : "";
}

std::string clock_cell(const std::optional<geo::LocalSeconds>& at) {
    return at ? clock_words(at) : "";
}

void leg_line(const Assessed& route, const survey::Leg& leg, std::ostream& out) {
    const auto magnetic = survey::bearing_magnetic_deg(leg, leg.leaving_grid_deg);
    csv_line(out, {text_cell(route.route.name),
                   std::to_string(leg.number),
                   text_cell(leg.from.name),
                   text_cell(reference_of(leg.from, route)),
                   text_cell(leg.to.name),
                   text_cell(reference_of(leg.to, route)),
                   number_cell(leg.from.at_m, 2),
                   number_cell(leg.to.at_m, 2),
                   number_cell(leg.length_m, 2),
                   number_cell(leg.straight_m, 2),
                   known(leg.ascent_m, 1),
                   known(leg.descent_m, 1),
                   bearing_cell(bearing_of(leg)),
                   bearing_cell(magnetic_bearing_of(leg)),
                   bearing_cell(leg.leaving_grid_deg),
                   bearing_cell(magnetic),
                   known(leg.walking_min, 1),
                   known(leg.rest_min, 1),
                   clock_cell(leg.leaves),
                   clock_cell(leg.arrives),
                   text_cell(underfoot_words(leg)),
                   text_cell(escapes_words(leg))});
}

} // namespace

void write_legs_csv(const Assessment& assessment, std::ostream& out) {
    csv_line(out, {"route",
                   "leg",
                   "from",
                   "from_grid_ref",
                   "to",
                   "to_grid_ref",
                   "from_m",
                   "to_m",
                   "length_m",
                   "straight_m",
                   "ascent_m",
                   "descent_m",
                   "bearing_grid_deg",
                   "bearing_magnetic_deg",
                   "leaving_grid_deg",
                   "leaving_magnetic_deg",
                   "walking_min",
                   "rest_min",
                   "leaves",
                   "arrives",
                   "underfoot",
                   "ways_out"});
    for (const Assessed& route : assessment.routes)
        for (const survey::Leg& leg : route.survey.legs.legs)
            leg_line(route, leg, out);
}

} // namespace waywarden::report
