#include "geo/grid_reference.hpp"
#include "report/html_map.hpp"
#include "report/html_text.hpp"
#include "report/paper.hpp"
#include "report/ranking.hpp"
#include "report/states.hpp"
#include "report/telling.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace waywarden::report {

namespace {

constexpr std::size_t k_most_open = 4; ///< longer lists of evidence are folded up on the screen

std::string paragraph(const std::string& text) {
    return text.empty() ? "" : "<p>" + html(text) + "</p>\n";
}

std::string evidence_list(const rules::Finding& finding) {
    std::string out =
        fmt::format("<details{}><summary>Evidence: {}</summary>\n",
                    finding.evidence.size() <= k_most_open ? " open" : "", html(grade_of(finding)));
    if (finding.evidence.empty()) return out + "<p>No object of the map is the cause.</p></details>\n";
    out += "<ul>\n";
    for (const survey::Evidence& one : finding.evidence)
        out += "<li>" + html(evidence_words(one)) + "</li>\n";
    return out + "</ul></details>\n";
}

std::string state_words(const rules::Finding& finding) {
    std::string out;
    if (finding.state == rules::State::fresh) out += " (new)";
    if (finding.state == rules::State::unchanged) out += " (as before)";
    if (finding.blocks_vouching) out += " (keeps the route from being vouched for)";
    if (finding.accepted)
        out += fmt::format(" (accepted by {} until {}: {})", finding.accepted->by, finding.accepted->until,
                           finding.accepted->why);
    return out;
}

std::string finding_article(const PageRoute& page, const PlacedSign& sign, GroundsList& grounds) {
    const rules::Finding& finding = *sign.finding;
    const std::string id = page_id(page.number, "f", sign.number);
    std::string out =
        fmt::format("<article id=\"{}\" class=\"finding f-{}\" tabindex=\"-1\">\n", id, sign_class(finding));
    out += heading(page, 1, id + "-h",
                   fmt::format("<svg class=\"inline-sign\" viewBox=\"-13 -13 26 26\" aria-hidden=\"true\">{}"
                               "</svg> <span class=\"level\">{}. {}:</span> {}{}",
                               sign_svg(finding, sign.number), sign.number, level_words(finding.level),
                               html(finding.title), html(state_words(finding))));
    out += fmt::format("<p class=\"where\">{} · <a href=\"#{}\">show finding {} on the map</a></p>\n",
                       html(place_of(finding, page.route.grid)), page_id(page.number, "m", sign.number),
                       sign.number);
    if (!finding.state_why.empty()) out += paragraph("New because: " + finding.state_why + ".");
    out += paragraph(finding.message);
    if (!finding.advice.empty())
        out += "<p class=\"todo\"><strong>To do:</strong> " + html(finding.advice) + "</p>\n";
    if (!finding.acceptance_lapsed.empty())
        out += "<p><strong>" + html(acceptance_words(finding)) + ".</strong></p>\n";
    out += evidence_list(finding);
    std::string numbers;
    for (const std::string& one : finding.grounds) {
        const std::size_t number = grounds.number_of(one);
        numbers += fmt::format(" <a href=\"#{}\" aria-label=\"grounds {}\">[{}]</a>",
                               page_id(page.number, "g", number), number, number);
    }
    if (!numbers.empty()) out += "<p class=\"small\">Grounds:" + numbers + "</p>\n";
    return out + "</article>\n";
}

std::string grounds_list(const PageRoute& page, const GroundsList& grounds) {
    if (grounds.texts().empty()) return "";
    std::string out =
        heading(page, 1, fmt::format("r{}-hg", page.number), "Grounds") + "<ol class=\"grounds\">\n";
    for (std::size_t i = 0; i < grounds.texts().size(); ++i)
        out += fmt::format("<li id=\"{}\">{}</li>\n", page_id(page.number, "g", i + 1),
                           html(grounds.texts()[i]));
    return out + "</ol>\n";
}

std::string table(const PageRoute& page, const char* caption, const std::vector<const char*>& heads,
                  const std::string& rows) {
    std::string out =
        fmt::format("<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"{1}, route {0}\">"
                    "<table>\n<caption>{1}</caption>\n<thead><tr>",
                    page.number, caption);
    for (const char* head : heads)
        out += fmt::format("<th scope=\"col\">{}</th>", head);
    return out + "</tr></thead>\n<tbody>\n" + rows + "</tbody></table></div>\n";
}

std::string osm_words(const std::optional<map::ObjectId>& id) {
    return id ? map::to_string(*id) : "–";
}

} // namespace

std::string verdict_section(const PageRoute& page) {
    const Assessed& route = page.route;
    std::string out = begin_section(page, "verdict", "Verdict");
    out += fmt::format("<p class=\"word v-{}\">{}</p>\n<p>{}. {}</p>\n", to_string(route.verdict),
                       verdict_words(route.verdict), counts(route), what_it_means(route));
    if (route.survey.daylight && !route.survey.daylight->words.empty())
        out += "<p>Daylight: " + html(route.survey.daylight->words) + "</p>\n";
    out += paragraph(states_words(route));
    const std::vector<Reason> all = reasons(route);
    if (!all.empty()) {
        out += "<ul>\n";
        for (const Reason& one : all)
            out += "<li>" + html(reason_words(one)) + "</li>\n";
        out += "</ul>\n";
    }
    out += paragraph(fmt::format("{}: {}.", distance_words(route.survey.length_m), lengths_by_access(route)));
    if (const std::string crossed = crossing_counts(route); !crossed.empty())
        out += paragraph("Places where it crosses: " + crossed + ".");
    if (!route.region_note.empty()) out += paragraph("Region: " + route.region_note);
    return out + "<p><strong>" + std::string(k_no_approval) + "</strong></p>\n</section>\n";
}

std::string findings_section(const PageRoute& page) {
    std::string out = begin_section(page, "findings", "Findings");
    if (page.signs.empty()) out += "<p>No rule found anything on this route.</p>\n";
    if (page.signs.size() > 1)
        out += "<p>In order of the walk. The numbers count by weight, 1 first, and are the same in every "
               "report.</p>\n";
    std::vector<PlacedSign> walk = page.signs;
    std::stable_sort(walk.begin(), walk.end(), [](const PlacedSign& a, const PlacedSign& b) {
        return a.finding->from_m < b.finding->from_m;
    });
    GroundsList grounds;
    for (const PlacedSign& sign : walk)
        out += finding_article(page, sign, grounds);
    if (!page.route.absent.empty()) {
        out += heading(page, 1, fmt::format("r{}-ha", page.number), "Found before, and no longer") + "<ul>\n";
        for (const rules::Finding& one : page.route.absent)
            out += fmt::format("<li>{}: {} ({}){}</li>\n", level_words(one.level), html(one.title),
                               html(place_of(one, page.route.grid)),
                               one.state_why.empty() ? "" : "; " + html(one.state_why));
        out += "</ul>\n";
    }
    if (!page.route.unused_acceptances.empty()) {
        out += heading(page, 1, fmt::format("r{}-hu", page.number), k_unused_title) + "<ul>\n";
        for (const UnusedAcceptance& one : page.route.unused_acceptances)
            out += "<li>" + html(unused_words(one, page.route.grid)) + "</li>\n";
        out += "</ul>\n";
    }
    if (!page.route.changes.empty()) {
        out +=
            heading(page, 1, fmt::format("r{}-hw", page.number), "What the map says otherwise than it did") +
            "<ul>\n";
        for (const Change& one : page.route.changes)
            out += "<li>" + html(change_words(one, page.route.grid)) + "</li>\n";
        out += "</ul>\n";
    }
    return out + grounds_list(page, grounds) + "</section>\n";
}

namespace {

/// Stretches one after another that are the same to walkers, on however many ways of the map.
struct Row {
    const survey::StretchSurvey* first = nullptr;
    double to_m = 0, least_likely = 1;
    std::size_t ways = 0;
};

std::string right_of(const survey::StretchSurvey& stretch) {
    return stretch.reading.facts.text("right", "not known");
}

std::vector<Row> stretch_rows(const PageRoute& page) {
    std::vector<Row> out;
    for (const survey::StretchSurvey& one : page.route.survey.stretches) {
        const bool same = !out.empty() && out.back().first->reading.access == one.reading.access &&
                          out.back().first->reading.name == one.reading.name &&
                          right_of(*out.back().first) == right_of(one) && out.back().to_m == one.from_m;
        if (!same) out.push_back({&one, 0, 1, 0});
        Row& row = out.back();
        row.to_m = one.to_m;
        row.least_likely = std::min(row.least_likely, one.reading.probability);
        ++row.ways;
    }
    return out;
}

} // namespace

std::string stretches_section(const PageRoute& page) {
    std::string rows;
    for (const Row& row : stretch_rows(page)) {
        const survey::StretchSurvey& first = *row.first;
        const geo::Position start = walked_at({first}, first.from_m);
        rows += fmt::format(
            "<tr><th scope=\"row\">{} – {}</th><td class=\"num\">{}</td><td>{}</td><td>{}</td><td>{}</td>"
            "<td>{}</td><td>{}{}</td><td class=\"num\">{:.0f} %</td></tr>\n",
            km_words(first.from_m), km_words(row.to_m), distance_words(row.to_m - first.from_m),
            access_words(first.reading.access), html(first.reading.name), html(right_of(first)),
            geo::grid_reference(start, page.route.grid), osm_words(first.reading.osm),
            row.ways > 1 ? fmt::format(" and {} more", row.ways - 1) : "", 100 * row.least_likely);
    }
    return begin_section(page, "stretches", "Stretches") +
           table(page, "What the line runs along, in order of the walk; how likely it is, at least",
                 {"km", "length", "kind", "name", "right", "starts at", "on the map", "likely"}, rows) +
           "</section>\n";
}

std::string crossings_section(const PageRoute& page) {
    if (page.route.survey.crossings.empty()) return "";
    std::string rows;
    for (const survey::Crossing& one : page.route.survey.crossings)
        rows += fmt::format(
            "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>\n",
            km_words(one.at_m), to_string(one.of), html(one.name), to_string(one.means),
            geo::grid_reference(one.position, page.route.grid), map::to_string(one.osm));
    return begin_section(page, "crossings", "Crossings") +
           table(page, "What the line crosses", {"km", "of", "name", "means", "at", "on the map"}, rows) +
           "</section>\n";
}

std::string not_seen_section(const PageRoute& page) {
    const auto& not_seen = page.route.survey.not_seen;
    std::string out = begin_section(page, "notseen", "What was not seen") + "<ul>\n";
    for (const std::string& one : not_seen)
        out += "<li>" + html(one) + "</li>\n";
    out += "</ul>\n";
    if (not_seen.empty() || !not_seen.back().ends_with(k_no_approval))
        out += "<p><strong>" + std::string(k_no_approval) + "</strong></p>\n";
    return out + "</section>\n";
}

} // namespace waywarden::report
