#include "report/html_frame.hpp"
#include "report/html_map.hpp"
#include "report/html_parts.hpp"
#include "report/html_text.hpp"
#include "report/marshals_words.hpp"
#include "report/paper.hpp"
#include "report/telling.hpp"
#include "report/words.hpp"
#include "report/write.hpp"

#include <fmt/format.h>

#include <memory>
#include <ostream>

/// The organiser's sheet as a page: the map with the places on it, a card a place, and tables.
namespace waywarden::report {

namespace {

rules::Level weight_of(Call call) {
    return call == Call::needed || call == Call::do_not_cross ? rules::Level::error
           : call == Call::not_called_for                     ? rules::Level::note
                                                              : rules::Level::warning;
}

/// The route with its posts in the place of findings, as the map draws them.
Assessed with_posts(const Assessed& route, const MarshalSheet& sheet) {
    Assessed out = route;
    out.absent.clear();
    out.findings.clear();
    for (const Post& post : sheet.posts) {
        rules::Finding finding;
        finding.title = fmt::format("{}: {}", post.what, call_words(post.call));
        finding.level = weight_of(post.call);
        finding.from_m = post.at_m;
        finding.to_m = post.to_m;
        finding.position = post.position;
        out.findings.push_back(std::move(finding));
    }
    return out;
}

/// One route of the page; holds what the map's parts refer to.
struct SheetPage {
    const Assessed& route;
    MarshalSheet sheet;
    Assessed drawn;
    PageRoute page;

    SheetPage(const Assessed& of, const Assessment& assessment, std::size_t number, int heading)
        : route(of), sheet(marshal_sheet(of, assessment)), drawn(with_posts(of, sheet)),
          page(page_route(drawn, number, heading)) {
        page.words = {"marshals needed, or not to be crossed", "advised, or to be looked at",
                      "no marshals called for", "the numbers of the places in the list"};
        page.attribution = attribution_words(assessment.sources);
        // The map numbers by weight; a sheet is used in order of the walk.
        for (PlacedSign& sign : page.signs)
            sign.number = static_cast<std::size_t>(sign.finding - drawn.findings.data()) + 1;
    }
    SheetPage(const SheetPage&) = delete;
    SheetPage& operator=(const SheetPage&) = delete;
};

std::string where(const Assessed& route, double at_m, double to_m, geo::Position position) {
    const std::string from = km_words(at_m), to = km_words(to_m);
    return fmt::format("{}, km {}{}", geo::grid_reference(position, route.grid), from,
                       from == to ? "" : " to " + to);
}

std::string list(const std::vector<std::string>& sentences) {
    std::string out;
    for (const std::string& one : sentences)
        out += "<li>" + html(one) + "</li>\n";
    return out.empty() ? "" : "<ul>\n" + out + "</ul>\n";
}

std::string row(const char* name, const std::string& words) {
    return words.empty() ? "" : fmt::format("<dt>{}</dt><dd>{}</dd>\n", name, html(words));
}

std::string post_article(const SheetPage& one, const Post& post) {
    const PageRoute& page = one.page;
    const auto& finding = one.drawn.findings[post.number - 1];
    const std::string id = page_id(page.number, "f", post.number);
    std::string out =
        fmt::format("<article id=\"{}\" class=\"finding f-{}\" tabindex=\"-1\">\n", id, sign_class(finding));
    out += heading(
        page, 1, id + "-h",
        fmt::format("<svg class=\"inline-sign\" viewBox=\"-13 -13 26 26\" aria-hidden=\"true\">{}</svg> "
                    "M{}. {}",
                    sign_svg(finding, post.number), post.number, html(post.what)));
    out += fmt::format("<p class=\"where\">{} · <a href=\"#{}\">show M{} on the map</a></p>\n",
                       html(where(one.route, post.at_m, post.to_m, post.position)),
                       page_id(page.number, "m", post.number), post.number);
    out += fmt::format(
        "<p class=\"todo\"><strong>Marshals: <span class=\"level\">{}</span></strong> ({}).</p>\n",
        call_words(post.call), html(post.why));
    out += "<dl>\n" + row("Where they stand", post.stand) + row("Limit", post.limit) +
           row(post.kind == "road" || post.kind == "rail" || post.kind == "water" ? "What helps across"
                                                                                  : "What is recorded",
               post.facility) +
           row("Sight", post.sight) + row("Time", post.time) + row("On the map", post.osm) + "</dl>\n";
    return out + "</article>\n";
}

std::string posts_section(const SheetPage& one) {
    std::string out = begin_section(one.page, "findings", "Places in order of the walk");
    if (one.sheet.posts.empty()) out += "<p>The map shows nothing crossed, and nowhere to queue.</p>\n";
    for (const Post& post : one.sheet.posts)
        out += post_article(one, post);
    return out + "</section>\n";
}

std::string features_section(const SheetPage& one, const char* kind, const char* title,
                             const std::vector<std::string>& sentences,
                             const std::vector<Feature>& features) {
    std::string out = begin_section(one.page, kind, title) + list(sentences);
    if (features.empty()) return out + "</section>\n";
    out += fmt::format(
        "<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"{0}, route {1}\"><table>\n"
        "<caption>{0}, in order of the walk</caption>\n<thead><tr><th scope=\"col\">km</th>"
        "<th scope=\"col\">at</th><th scope=\"col\">what</th></tr></thead>\n<tbody>\n",
        title, one.page.number);
    for (const Feature& feature : features) {
        const std::string from = km_words(feature.at_m), to = km_words(feature.to_m);
        out += fmt::format("<tr><th scope=\"row\">{}{}</th><td>{}</td><td>{}</td></tr>\n", from,
                           from == to ? "" : " – " + to,
                           geo::grid_reference(feature.position, one.route.grid), html(feature.what));
    }
    return out + "</tbody></table></div>\n</section>\n";
}

std::string overview_section(const SheetPage& one) {
    const Assessed& route = one.route;
    return begin_section(one.page, "verdict", "Before anything else") +
           fmt::format("<p class=\"word v-{}\">The check of this route: {}</p>\n<p>This sheet is no "
                       "approval. {}</p>\n"
                       "<p>{}</p>\n<p><strong>{}</strong></p>\n",
                       to_string(route.verdict), verdict_words(route.verdict), k_no_approval,
                       html(one.sheet.party), html(one.sheet.summary)) +
           list(marshal_cautions()) + "</section>\n";
}

std::string rule_section(const SheetPage& one) {
    return begin_section(one.page, "rule", "The rule by which marshals are called for") +
           list(marshal_rule()) + "</section>\n";
}

std::string contents(const SheetPage& one) {
    std::string out = fmt::format("<nav aria-label=\"Parts of the sheet, route {}\"><ul>\n", one.page.number);
    const std::pair<const char*, const char*> parts[] = {{"verdict", "Before anything else"},
                                                         {"m", "Map"},
                                                         {"findings", "Places"},
                                                         {"wheels", "Wheels"},
                                                         {"help", "Ways in for help"},
                                                         {"places", "Toilets, water, parking"},
                                                         {"rule", "The rule"},
                                                         {"notseen", "What was not seen"}};
    for (const auto& [kind, words] : parts)
        out += fmt::format("<li><a href=\"#r{}-h{}\">{}</a></li>\n", one.page.number, kind, words);
    return out + "</ul></nav>\n";
}

std::string parts(const SheetPage& one) {
    return overview_section(one) + map_section(one.page) + posts_section(one) +
           features_section(one, "wheels", "Wheels and weak knees", one.sheet.wheels_words,
                            one.sheet.wheels) +
           features_section(one, "help", "Where a vehicle with help reaches the route", one.sheet.help_words,
                            one.sheet.vehicles) +
           features_section(one, "places", "Toilets, water, parking, shelter", one.sheet.places_words,
                            one.sheet.places) +
           rule_section(one) + not_seen_section(one.page);
}

} // namespace

void write_marshals_html(const Assessment& assessment, std::ostream& out) {
    const bool alone = assessment.routes.size() + assessment.not_read.size() == 1;
    std::vector<std::unique_ptr<SheetPage>> pages;
    std::string style = k_page_style;
    for (const Assessed& route : assessment.routes) {
        pages.push_back(std::make_unique<SheetPage>(route, assessment, pages.size() + 1, alone ? 2 : 3));
        style += map_style(pages.back()->page);
    }
    const std::string title =
        alone && !pages.empty() ? "Marshals: " + pages.front()->route.route.name : "Marshals: walking routes";
    out << page_head(title, style, k_page_script) << "<header>\n<h1>" << html(title) << "</h1>\n"
        << (alone && !pages.empty() ? contents(*pages.front()) : "")
        << "</header>\n<main id=\"main\" tabindex=\"-1\">\n"
        << not_read_list(assessment);
    for (const auto& page : pages) {
        if (!alone)
            out << fmt::format("<h2>{} ({})</h2>\n", html(page->route.route.name),
                               file_name(page->route.route.path))
                << contents(*page);
        out << parts(*page);
    }
    out << origin_section(assessment) << "</main>\n" << page_end(assessment, k_page_script);
}

} // namespace waywarden::report
