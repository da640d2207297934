#include "report/card_rows.hpp"
#include "report/html_map.hpp"
#include "report/html_text.hpp"

#include <fmt/format.h>

namespace waywarden::report {

namespace {

std::string cells_of(const CardRow& row, bool card) {
    std::string out;
    for (const CardCell& cell : row.cells) {
        const std::string text = html(card ? cell.card : cell.walk);
        out += fmt::format("<td data-what=\"{}\">{}</td>", html(cell.what),
                           card && cell.differs ? "<strong>" + text + " *</strong>" : text);
    }
    return out;
}

} // namespace

std::string card_section(const PageRoute& page) {
    const std::vector<CardRow> rows = card_rows(page.route);
    if (rows.empty()) return "";
    std::string out = begin_section(page, "card", "The card as handed in, and as the walk is");
    out += fmt::format("<p>{}</p>\n<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"Card, "
                       "route {}\"><table>\n"
                       "<caption>Each leg twice; * is objected to, – is not known or not given</caption>\n"
                       "<thead><tr><th scope=\"col\">leg</th><th scope=\"col\">of</th>",
                       html(page.route.card->card.path), page.number);
    for (const CardCell& cell : rows.front().cells)
        out += fmt::format("<th scope=\"col\">{}</th>", html(cell.what));
    out += "</tr></thead>\n<tbody>\n";
    for (const CardRow& row : rows)
        out += fmt::format("<tr><th scope=\"row\" rowspan=\"2\">{} (line {})</th><td>card</td>{}</tr>\n"
                           "<tr><td>walk</td>{}</tr>\n",
                           html(row.title), row.line, cells_of(row, true), cells_of(row, false));
    out += "</tbody></table></div>\n<ul class=\"small\">\n";
    for (const std::string& one : card_notes(page.route))
        out += "<li>" + html(one) + "</li>\n";
    return out + "</ul>\n</section>\n";
}

} // namespace waywarden::report
