#include "report/html_frame.hpp"
#include "report/html_parts.hpp"
#include "report/html_text.hpp"
#include "report/paper.hpp"
#include "report/ranking.hpp"
#include "report/shared.hpp"
#include "report/words.hpp"
#include "report/write.hpp"

#include <fmt/format.h>

#include <ostream>

/// The table of routes, and the page that holds nothing else.
namespace waywarden::report {

namespace {

/// Sorts a table by the column whose heading is pressed; without scripts it stays the worst first.
constexpr const char* k_sort_script = R"~(
for(const table of document.querySelectorAll('table.sortable')){
const body=table.tBodies[0],heads=[...table.tHead.rows[0].cells];
heads.forEach((head,column)=>{
const button=document.createElement('button');
button.type='button';button.textContent=head.textContent;head.textContent='';head.append(button);
button.addEventListener('click',()=>{
const down=head.getAttribute('aria-sort')!=='descending';
heads.forEach(other=>other.removeAttribute('aria-sort'));
head.setAttribute('aria-sort',down?'descending':'ascending');
const value=row=>{const cell=row.cells[column]||row.cells[row.cells.length-1];return cell.dataset.order??cell.textContent.trim()};
const rows=[...body.rows].sort((a,b)=>{const x=value(a),y=value(b),n=Number(x)-Number(y);return Number.isNaN(n)?x.localeCompare(y):n});
if(down)rows.reverse();
body.append(...rows)})})}
)~";

std::string route_cell(const Assessed& route, const std::string& stem) {
    const std::string words = fmt::format("{} ({})", html(route.route.name), file_name(route.route.path));
    return stem.empty() ? words : fmt::format("<a href=\"{}.html\">{}</a>", url_part(stem), words);
}

std::string shared_list(const Assessment& assessment) {
    const std::vector<Shared> all = shared_findings(assessment);
    if (all.empty()) return "";
    std::string out = "<h2>What several routes share</h2>\n<ul>\n";
    for (std::size_t i = 0; i < std::min(all.size(), k_most_shared); ++i)
        out += "<li>" + html(shared_words(all[i])) + "</li>\n";
    if (all.size() > k_most_shared)
        out += fmt::format("<li>and {} more, in the reports</li>\n", all.size() - k_most_shared);
    return out + "</ul>\n";
}

} // namespace

std::string routes_table(const Assessment& assessment, const std::vector<std::string>& stems) {
    std::string out = "<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"Routes\"><table "
                      "class=\"sortable\">\n"
                      "<caption>The worst first</caption>\n<thead><tr>"
                      "<th scope=\"col\">route</th>"
                      "<th scope=\"col\">verdict</th>"
                      "<th scope=\"col\" class=\"num\">objections</th>"
                      "<th scope=\"col\" class=\"num\">cautions</th>"
                      "<th scope=\"col\" class=\"num\">notes</th>"
                      "<th scope=\"col\" class=\"num\">accepted</th>"
                      "<th scope=\"col\" class=\"num\">km</th></tr></thead>\n<tbody>\n";
    for (const NotRead& one : assessment.not_read)
        out +=
            fmt::format("<tr><th scope=\"row\">{}</th><td data-order=\"9\">COULD NOT BE READ</td>"
                        "<td data-order=\"-1\">–</td><td data-order=\"-1\">–</td><td data-order=\"-1\">–</td>"
                        "<td data-order=\"-1\">–</td><td data-order=\"-1\">–</td></tr>\n",
                        file_name(one.path));
    for (const Assessed* route : worst_first(assessment)) {
        const Tally t = tally(*route);
        const auto at = static_cast<std::size_t>(route - assessment.routes.data());
        out +=
            fmt::format("<tr><th scope=\"row\">{}</th><td data-order=\"{}\">{}</td><td class=\"num\">{}</td>"
                        "<td class=\"num\">{}</td><td class=\"num\">{}</td><td class=\"num\">{}</td>"
                        "<td class=\"num\">{:.1f}</td></tr>\n",
                        route_cell(*route, at < stems.size() ? stems[at] : ""),
                        static_cast<int>(route->verdict), verdict_words(route->verdict), t.errors, t.warnings,
                        t.notes, t.accepted, rounded_m(route->survey.length_m) / 1000);
    }
    return out + "</tbody></table></div>\n";
}

void write_summary_html(const Assessment& assessment, std::ostream& out) {
    write_summary_html(assessment, {}, out);
}

void write_summary_html(const Assessment& assessment, const std::vector<std::string>& stems,
                        std::ostream& out) {
    out << page_head("Walking routes: summary", k_page_style, k_sort_script) << "<header>\n<h1>"
        << counted(assessment.routes.size(), "walking route", "walking routes")
        << " checked</h1>\n</header>\n<main id=\"main\" tabindex=\"-1\">\n"
        << routes_table(assessment, stems) << not_read_list(assessment) << shared_list(assessment)
        << "<p><strong>" << k_no_approval << "</strong></p>\n"
        << origin_section(assessment) << "</main>\n"
        << page_end(assessment, k_sort_script);
}

} // namespace waywarden::report
