#include "geo/grid_reference.hpp"
#include "report/html_map.hpp"
#include "report/html_text.hpp"
#include "report/paper.hpp"
#include "report/places.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

/// The places near the route, in the text report and on the page.
namespace waywarden::report {

void write_places(const Assessed& route, Paper& paper) {
    paper.gap();
    paper.line(Ink::strong, "", "For need and rest, as recorded");
    for (const survey::PlaceOnTheWay* one : short_list(route.survey))
        paper.line(Ink::plain, "  - ",
                   fmt::format("{}, km {}: {}", geo::grid_reference(one->position, route.grid),
                               km_words(one->at_m), place_line(*one)));
    for (const std::string& words : {more_places_words(route.survey), no_places_words(route.survey)})
        if (!words.empty()) paper.line(Ink::plain, "  - ", words);
}

std::string places_section(const PageRoute& page) {
    const survey::Survey& survey = page.route.survey;
    std::string out = begin_section(page, "places", "For need and rest");
    if (const std::string words = no_places_words(survey); !words.empty())
        out += "<p>" + html(words) + "</p>\n";
    if (survey.places.empty()) return out + "</section>\n";
    out += fmt::format(
        "<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"Places near the way, route {}\">"
        "<table>\n<caption>What is recorded near the way, in its order; whether it is open nobody "
        "asked</caption>\n<thead><tr><th scope=\"col\">km</th><th scope=\"col\">at</th>"
        "<th scope=\"col\">what</th><th scope=\"col\">on the map</th></tr></thead>\n<tbody>\n",
        page.number);
    for (const survey::PlaceOnTheWay& one : survey.places)
        out += fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td></tr>\n",
                           km_words(one.at_m), geo::grid_reference(one.position, page.route.grid),
                           html(place_line(one)), map::to_string(one.osm));
    return out + "</tbody></table></div>\n</section>\n";
}

} // namespace waywarden::report
