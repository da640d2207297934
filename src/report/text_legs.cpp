#include "report/leg_words.hpp"
#include "report/paper.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace waywarden::report {

namespace {

constexpr const char* k_indent = "     ";
constexpr std::size_t k_least_between = 22; ///< "OM 603 071 – OM 606 091"

std::string right(const std::string& text, std::size_t to_columns) {
    const std::size_t now = columns(text);
    return now < to_columns ? std::string(to_columns - now, ' ') + text : text;
}

std::string row(const std::string& between, std::size_t between_columns,
                const std::vector<std::string>& cells) {
    static constexpr std::size_t k_wide[] = {6, 6, 6, 6, 6, 9, 8};
    std::string out = padded(between, between_columns);
    for (std::size_t i = 0; i < cells.size(); ++i)
        out += right(cells[i], k_wide[i]);
    return out;
}

std::string between(const survey::Leg& leg, const Assessed& route) {
    return reference_of(leg.from, route) + " – " + reference_of(leg.to, route);
}

std::vector<std::string> figures(const survey::Leg& leg) {
    return {km_of_leg(leg),
            climb_words(leg.ascent_m),
            climb_words(leg.descent_m),
            bearing_words(bearing_of(leg)),
            bearing_words(magnetic_bearing_of(leg)),
            minutes_words(leg.walking_min),
            clock_words(leg.arrives)};
}

void write_leg(const survey::Leg& leg, const Assessed& route, std::size_t between_columns, Paper& paper) {
    paper.line(Ink::strong, fmt::format("{:>3}. ", leg.number),
               fmt::format("{} to {}", leg.from.name, leg.to.name));
    paper.table_line(k_indent + row(between(leg, route), between_columns, figures(leg)));
    const std::string underfoot = underfoot_words(leg), roads = escapes_words(leg);
    paper.line(Ink::faint, k_indent,
               fmt::format("Leaves on {} grid. Underfoot: {}. Ways out: {}.",
                           bearing_words(leg.leaving_grid_deg), underfoot.empty() ? "not known" : underfoot,
                           roads.empty() ? "none met" : roads));
}

void write_sums(const Assessed& route, std::size_t between_columns, Paper& paper) {
    const survey::LegTable& table = route.survey.legs;
    const LegSums sums = sums_of(table);
    paper.table_line(k_indent +
                     row("In all", between_columns,
                         {fmt::format("{:.1f}", route.survey.length_m / 1000), climb_words(sums.ascent_m),
                          climb_words(sums.descent_m), "", "", minutes_words(sums.walking_min),
                          clock_words(table.legs.back().arrives)}));
    if (sums.rest_min && *sums.rest_min >= 0.5)
        paper.line(Ink::plain, k_indent, fmt::format("and {} of rests", minutes_words(sums.rest_min)));
}

} // namespace

void write_legs(const Assessed& route, Paper& paper) {
    const survey::LegTable& table = route.survey.legs;
    if (table.legs.empty()) {
        if (table.remarks.empty()) return;
        paper.gap();
        paper.line(Ink::strong, "", "Legs");
        paper.line(Ink::plain, "", "No checkpoint of the file is on the line between start and finish.");
        for (const std::string& one : table.remarks)
            paper.line(Ink::plain, "  - ", one);
        return;
    }
    std::size_t wide = k_least_between;
    for (const survey::Leg& leg : table.legs)
        wide = std::max(wide, columns(between(leg, route)));
    paper.gap();
    paper.line(Ink::strong, "", "Legs");
    paper.table_line(k_indent + row("", wide, {"", "up", "down", "grid", "mag", "", ""}));
    paper.table_line(k_indent + row("from – to", wide, {"km", "m", "m", "deg", "deg", "walking", "there"}));
    for (const survey::Leg& leg : table.legs)
        write_leg(leg, route, wide, paper);
    write_sums(route, wide, paper);
    for (const std::string& one : leg_notes(route))
        paper.line(Ink::faint, "  - ", one);
}

} // namespace waywarden::report
