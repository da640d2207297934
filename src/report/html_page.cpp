#include "report/html_map.hpp"
#include "report/html_parts.hpp"
#include "report/html_text.hpp"
#include "report/paper.hpp"
#include "report/ranking.hpp"
#include "report/telling.hpp"
#include "report/words.hpp"
#include "report/write.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <ostream>

namespace waywarden::report {

namespace {

/// The page may load nothing at all; only the style and the script that are in it may run, told by hash.
std::string head(const std::string& title, const std::string& style, bool scripted) {
    const std::string policy = fmt::format(
        "default-src 'none'; style-src '{}'; {}img-src data:; base-uri 'none'; form-action 'none'",
        policy_hash(style), scripted ? fmt::format("script-src '{}'; ", policy_hash(k_page_script)) : "");
    return fmt::format("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                       "<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">\n"
                       "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                       "<meta name=\"referrer\" content=\"no-referrer\">\n"
                       "<title>{}</title>\n<style>{}</style>\n</head>\n<body>\n"
                       "<a class=\"skip\" href=\"#main\">To the report</a>\n",
                       policy, html(title), style);
}

std::string end(bool scripted) {
    return "<footer><p class=\"small\">Map data © OpenStreetMap contributors, under the Open Database "
           "Licence.</p></footer>\n" +
           (scripted ? fmt::format("<script>{}</script>\n", k_page_script) : std::string()) +
           "</body>\n</html>\n";
}

std::string file_name(const std::string& path) {
    return html(std::filesystem::path(path).filename().string());
}

std::string origin(const Assessment& assessment) {
    std::string out =
        "<section aria-labelledby=\"origin\">\n<h2 id=\"origin\">What this rests on</h2>\n<ul>\n";
    for (const map::Source& source : assessment.sources) {
        const std::string age = data_age_words(source);
        out += fmt::format("<li>Map: {}, {}</li>\n", html(source.path), html(age));
    }
    std::string sets;
    for (const rules::SetName& set : assessment.rule_sets)
        sets += fmt::format("{}{} {}", sets.empty() ? "" : ", ", set.name, set.version);
    return out +
           fmt::format("<li>Judged: region {}; party {}; rules {}; ages counted to {}; waywarden {}</li>\n"
                       "</ul>\n</section>\n",
                       html(assessment.region), html(assessment.party), html(sets),
                       date_words(assessment.date_s), WAYWARDEN_VERSION);
}

std::string contents(const PageRoute& page) {
    std::string out = fmt::format("<nav aria-label=\"Parts of the report, route {}\"><ul>\n", page.number);
    const auto item = [&](const char* kind, const char* words) {
        out += fmt::format("<li><a href=\"#r{}-h{}\">{}</a></li>\n", page.number, kind, words);
    };
    item("verdict", "Verdict");
    item("m", "Map");
    item("findings", "Findings");
    if (!page.route.survey.legs.legs.empty()) item("legs", "Legs");
    item("stretches", "Stretches");
    item("notseen", "What was not seen");
    if (has_sheets(page)) item("s", "Sheets to print");
    return out + "</ul></nav>\n";
}

std::string route_parts(const PageRoute& page, const Assessment& assessment) {
    const bool alone = page.heading == 2;
    return verdict_section(page) + (alone ? origin(assessment) : "") + map_section(page) +
           findings_section(page) + legs_section(page) + profile_section(page) + stretches_section(page) +
           crossings_section(page) + not_seen_section(page) + sheets_section(page, assessment);
}

std::string not_read_list(const Assessment& assessment) {
    if (assessment.not_read.empty()) return "";
    std::string out = "<h2>Could not be read</h2>\n<ul>\n";
    for (const NotRead& one : assessment.not_read)
        out += "<li>" + html(one.why) + "</li>\n";
    return out + "</ul>\n";
}

std::string routes_table(const Assessment& assessment) {
    std::string out =
        "<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"Routes\"><table>\n"
        "<caption>The worst first</caption>\n<thead><tr><th scope=\"col\">route</th>"
        "<th scope=\"col\">verdict</th><th scope=\"col\">objections</th><th scope=\"col\">"
        "cautions</th><th scope=\"col\">notes</th><th scope=\"col\">km</th></tr></thead>\n<tbody>\n";
    for (const NotRead& one : assessment.not_read)
        out += fmt::format("<tr><th scope=\"row\">{}</th><td colspan=\"5\">COULD NOT BE READ</td></tr>\n",
                           file_name(one.path));
    for (const Assessed* route : worst_first(assessment)) {
        const Tally t = tally(*route);
        out += fmt::format(
            "<tr><th scope=\"row\">{} ({})</th><td>{}</td><td class=\"num\">{}</td>"
            "<td class=\"num\">{}</td><td class=\"num\">{}</td><td class=\"num\">{:.1f}</td></tr>\n",
            html(route->route.name), file_name(route->route.path), verdict_words(route->verdict), t.errors,
            t.warnings, t.notes, rounded_m(route->survey.length_m) / 1000);
    }
    return out + "</tbody></table></div>\n";
}

} // namespace

void write_html(const Assessment& assessment, std::ostream& out) {
    const bool alone = assessment.routes.size() + assessment.not_read.size() == 1;
    std::vector<PageRoute> pages;
    std::string style = k_page_style;
    for (const Assessed& route : assessment.routes) {
        pages.push_back(page_route(route, pages.size() + 1, alone ? 2 : 3));
        style += map_style(pages.back());
    }
    const std::string name = alone && !pages.empty() ? pages.front().route.route.name : "Walking routes";
    out << head(alone && !pages.empty()
                    ? fmt::format("{}: {}", name, verdict_words(pages.front().route.verdict))
                    : name,
                style, true);
    out << "<header>\n<h1>" << html(name) << "</h1>\n";
    if (alone && !pages.empty())
        out << "<p class=\"small\">Route file: " << html(pages.front().route.route.path) << "</p>\n"
            << contents(pages.front());
    out << "</header>\n<main id=\"main\" tabindex=\"-1\">\n";
    if (!alone)
        out << "<h2>Routes</h2>\n"
            << routes_table(assessment) << not_read_list(assessment) << origin(assessment);
    for (const PageRoute& page : pages) {
        if (!alone)
            out << fmt::format("<h2>{} ({})</h2>\n", html(page.route.route.name),
                               file_name(page.route.route.path))
                << contents(page);
        out << route_parts(page, assessment);
    }
    out << "</main>\n" << end(true);
}

void write_summary_html(const Assessment& assessment, std::ostream& out) {
    out << head("Walking routes: summary", k_page_style, false) << "<header>\n<h1>"
        << counted(assessment.routes.size(), "walking route", "walking routes")
        << " checked</h1>\n</header>\n<main id=\"main\" tabindex=\"-1\">\n"
        << routes_table(assessment) << not_read_list(assessment) << "<p><strong>" << k_no_approval
        << "</strong></p>\n"
        << origin(assessment) << "</main>\n"
        << end(false);
}

} // namespace waywarden::report
