#include "report/html_map.hpp"
#include "report/html_text.hpp"
#include "report/leg_words.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <array>

namespace waywarden::report {

namespace {

/// The columns: what they are called at the head of the table, and in front of each figure where a narrow
/// screen stacks them.
constexpr std::array k_heads{"km",        "up, m",   "down, m",   "grid bearing", "by compass",
                             "leaves on", "walking", "leaves at", "is there at"};

std::string cells(const std::array<std::string, k_heads.size()>& texts) {
    std::string out;
    for (std::size_t i = 0; i < texts.size(); ++i)
        out += texts[i].empty() ? "<td role=\"cell\"></td>"
                                : fmt::format("<td role=\"cell\" class=\"num\" data-what=\"{}\">{}</td>",
                                              k_heads[i], texts[i]);
    return out;
}

std::string place(const survey::Checkpoint& at, const Assessed& route) {
    return html(at.name) + " <span class=\"ref\">" + html(reference_of(at, route)) + "</span>";
}

/// Figures in one row, words in the next, so that a sheet of A4 holds both.
std::string leg_rows(const survey::Leg& leg, const Assessed& route) {
    const std::string underfoot = underfoot_words(leg), roads = escapes_words(leg);
    return fmt::format("<tbody class=\"leg\" role=\"rowgroup\"><tr role=\"row\"><th role=\"rowheader\" "
                       "scope=\"rowgroup\" rowspan=\"2\">{}. {} to {}</th>",
                       leg.number, place(leg.from, route), place(leg.to, route)) +
           cells({km_of_leg(leg), climb_words(leg.ascent_m), climb_words(leg.descent_m),
                  bearing_words(bearing_of(leg)), bearing_words(magnetic_bearing_of(leg)),
                  bearing_words(leg.leaving_grid_deg), minutes_words(leg.walking_min),
                  clock_words(leg.leaves), clock_words(leg.arrives)}) +
           fmt::format("</tr>\n<tr role=\"row\"><td role=\"cell\" colspan=\"{}\">Underfoot: {}. Ways out: "
                       "{}.</td></tr></tbody>\n",
                       k_heads.size(), underfoot.empty() ? "not known" : html(underfoot),
                       roads.empty() ? "none met" : html(roads));
}

std::string sums_row(const Assessed& route) {
    const survey::LegTable& table = route.survey.legs;
    const LegSums sums = sums_of(table);
    const bool rests = sums.rest_min && *sums.rest_min >= 0.5;
    return "<tbody class=\"leg\" role=\"rowgroup\"><tr role=\"row\"><th role=\"rowheader\" scope=\"row\">In "
           "all</th>" +
           cells({fmt::format("{:.1f}", route.survey.length_m / 1000), climb_words(sums.ascent_m),
                  climb_words(sums.descent_m), "", "", "", minutes_words(sums.walking_min),
                  clock_words(table.legs.front().leaves), clock_words(table.legs.back().arrives)}) +
           "</tr>" +
           (rests ? fmt::format("<tr role=\"row\"><td role=\"cell\" colspan=\"{}\">and {} of rests</td></tr>",
                                k_heads.size() + 1, minutes_words(sums.rest_min))
                  : "") +
           "</tbody>\n";
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
    out +=
        fmt::format("<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"Legs, route {}\">"
                    "<table class=\"legs\" role=\"table\">\n<caption>From checkpoint to checkpoint; – is not "
                    "known</caption>\n<thead role=\"rowgroup\"><tr role=\"row\"><th role=\"columnheader\" "
                    "scope=\"col\">leg</th>",
                    page.number);
    for (const char* head : k_heads)
        out += fmt::format("<th role=\"columnheader\" scope=\"col\">{}</th>", head);
    out += "</tr></thead>\n";
    for (const survey::Leg& leg : table.legs)
        out += leg_rows(leg, route);
    out += sums_row(route) + "</table></div>\n<ul class=\"small\">\n";
    for (const std::string& one : leg_notes(route))
        out += "<li>" + html(one) + "</li>\n";
    return out + "</ul>\n</section>\n";
}

} // namespace waywarden::report
