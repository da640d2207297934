#include "report/html_frame.hpp"
#include "report/html_map.hpp"
#include "report/html_parts.hpp"
#include "report/html_text.hpp"
#include "report/telling.hpp"
#include "report/words.hpp"
#include "report/write.hpp"

#include <fmt/format.h>

#include <ostream>

namespace waywarden::report {

namespace {

std::string contents(const PageRoute& page) {
    std::string out = fmt::format("<nav aria-label=\"Parts of the report, route {}\"><ul>\n", page.number);
    const auto item = [&](const char* kind, const char* words) {
        out += fmt::format("<li><a href=\"#r{}-h{}\">{}</a></li>\n", page.number, kind, words);
    };
    item("verdict", "Verdict");
    item("m", "Map");
    item("findings", "Findings");
    if (!page.route.survey.legs.legs.empty()) item("legs", "Legs");
    if (page.route.card) item("card", "The card");
    item("stretches", "Stretches");
    item("places", "Places");
    item("notseen", "What was not seen");
    if (has_sheets(page)) item("s", "Sheets to print");
    return out + "</ul></nav>\n";
}

std::string route_parts(const PageRoute& page, const Assessment& assessment) {
    const bool alone = page.heading == 2;
    return verdict_section(page) + (alone ? origin_section(assessment) : "") + map_section(page) +
           findings_section(page) + legs_section(page) + card_section(page) + profile_section(page) +
           stretches_section(page) + crossings_section(page) + places_section(page) + not_seen_section(page) +
           sheets_section(page, assessment);
}

} // namespace

void write_html(const Assessment& assessment, std::ostream& out) {
    const bool alone = assessment.routes.size() + assessment.not_read.size() == 1;
    std::vector<PageRoute> pages;
    std::string style = k_page_style;
    for (const Assessed& route : assessment.routes) {
        pages.push_back(page_route(route, pages.size() + 1, alone ? 2 : 3));
        pages.back().attribution = attribution_words(assessment.sources);
        style += map_style(pages.back());
    }
    const std::string name = alone && !pages.empty() ? pages.front().route.route.name : "Walking routes";
    out << page_head(alone && !pages.empty()
                         ? fmt::format("{}: {}", name, verdict_words(pages.front().route.verdict))
                         : name,
                     style, k_page_script);
    out << "<header>\n<h1>" << html(name) << "</h1>\n";
    if (alone && !pages.empty())
        out << "<p class=\"small\">Route file: " << html(pages.front().route.route.path) << "</p>\n"
            << contents(pages.front());
    out << "</header>\n<main id=\"main\" tabindex=\"-1\">\n";
    if (!alone)
        out << "<h2>Routes</h2>\n"
            << routes_table(assessment) << not_read_list(assessment) << origin_section(assessment);
    for (const PageRoute& page : pages) {
        if (!alone)
            out << fmt::format("<h2>{} ({})</h2>\n", html(page.route.route.name),
                               file_name(page.route.route.path))
                << contents(page);
        out << route_parts(page, assessment);
    }
    out << "</main>\n" << page_end(assessment, k_page_script);
}

} // namespace waywarden::report
