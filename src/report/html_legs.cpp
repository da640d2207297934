#include "report/html_map.hpp"
#include "report/html_text.hpp"
#include "report/leg_words.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace waywarden::report {

namespace {

/// A cell that says what it is where the table is stacked on a narrow screen.
std::string cell(const char* what, const std::string& text, bool number = true) {
    return fmt::format("<td{} data-what=\"{}\">{}</td>", number ? " class=\"num\"" : "", what,
                       text == "–" ? "<span title=\"not known\">–</span>" : html(text));
}

std::string place(const survey::Checkpoint& at, const Assessed& route) {
    return html(at.name) + " <span class=\"ref\">" + html(reference_of(at, route)) + "</span>";
}

std::string leg_row(const survey::Leg& leg, const Assessed& route) {
    const std::string underfoot = underfoot_words(leg), roads = escapes_words(leg);
    return fmt::format("<tr><th scope=\"row\">{}. {} to {}</th>", leg.number, place(leg.from, route),
                       place(leg.to, route)) +
           cell("km", km_of_leg(leg)) + cell("up, m", climb_words(leg.ascent_m)) +
           cell("down, m", climb_words(leg.descent_m)) +
           cell("grid bearing", bearing_words(bearing_of(leg))) +
           cell("by compass", bearing_words(magnetic_bearing_of(leg))) +
           cell("leaves on (grid)", bearing_words(leg.leaving_grid_deg)) +
           cell("walking", minutes_words(leg.walking_min)) + cell("leaves at", clock_words(leg.leaves)) +
           cell("is there at", clock_words(leg.arrives)) +
           cell("underfoot", underfoot.empty() ? "–" : underfoot, false) +
           cell("ways out", roads.empty() ? "none met" : roads, false) + "</tr>\n";
}

std::string sums_row(const Assessed& route) {
    const survey::LegTable& table = route.survey.legs;
    const LegSums sums = sums_of(table);
    const std::string rests = minutes_words(sums.rest_min);
    return "<tr class=\"sum\"><th scope=\"row\">In all</th>" +
           cell("km", fmt::format("{:.1f}", route.survey.length_m / 1000)) +
           cell("up, m", climb_words(sums.ascent_m)) + cell("down, m", climb_words(sums.descent_m)) +
           "<td></td><td></td><td></td>" + cell("walking", minutes_words(sums.walking_min)) +
           cell("leaves at", clock_words(table.legs.front().leaves)) +
           cell("is there at", clock_words(table.legs.back().arrives)) +
           fmt::format("<td colspan=\"2\">{}</td></tr>\n",
                       sums.rest_min && *sums.rest_min >= 0.5 ? "and " + rests + " of rests" : "");
}

} // namespace

std::string legs_section(const PageRoute& page) {
    const Assessed& route = page.route;
    const survey::LegTable& table = route.survey.legs;
    if (table.legs.empty() && table.remarks.empty()) return "";
    std::string out = begin_section(page, "legs", "Legs");
    if (table.legs.empty()) {
        out += "<p>No checkpoint of the file is on the line between start and finish.</p>\n<ul>\n";
        for (const std::string& one : table.remarks)
            out += "<li>" + html(one) + "</li>\n";
        return out + "</ul>\n</section>\n";
    }
    out += fmt::format("<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"Legs, route {}\">"
                       "<table class=\"legs\">\n<caption>From checkpoint to checkpoint; – is not known"
                       "</caption>\n<thead><tr>",
                       page.number);
    for (const char* head : {"leg", "km", "up, m", "down, m", "grid bearing", "by compass", "leaves on",
                             "walking", "leaves at", "is there at", "underfoot", "ways out"})
        out += fmt::format("<th scope=\"col\">{}</th>", head);
    out += "</tr></thead>\n<tbody>\n";
    for (const survey::Leg& leg : table.legs)
        out += leg_row(leg, route);
    out += sums_row(route) + "</tbody></table></div>\n<ul class=\"small\">\n";
    for (const std::string& one : leg_notes(route))
        out += "<li>" + html(one) + "</li>\n";
    return out + "</ul>\n</section>\n";
}

} // namespace waywarden::report
