#include "report/paper.hpp"
#include "report/ranking.hpp"
#include "report/shared.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace waywarden::report {

void write_summary_table(const Assessment& assessment, Paper& paper) {
    paper.line(Ink::strong, "",
               fmt::format("{}, the worst first", counted(assessment.routes.size(), "route", "routes")));
    paper.gap();
    paper.line(Ink::faint, "verdict             obj. caut. notes       km  ", "route");
    for (const NotRead& one : assessment.not_read)
        paper.line(Ink::objection, padded("COULD NOT BE READ", 47), one.path);
    for (const Assessed* route : worst_first(assessment)) {
        const Tally counts = tally(*route);
        const std::string label = fmt::format(
            "{} {:>4} {:>5} {:>5} {:>8.1f}  ", padded(verdict_words(route->verdict), 19), counts.errors,
            counts.warnings, counts.notes, rounded_m(route->survey.length_m) / 1000);
        const bool bad = route->verdict >= rules::Verdict::objections;
        paper.line(bad ? Ink::objection : Ink::plain, label,
                   fmt::format("{} ({}){}", route->route.name,
                               std::filesystem::path(route->route.path).filename().string(),
                               counts.accepted ? fmt::format(", {} accepted", counts.accepted) : ""));
    }
    if (!assessment.not_read.empty()) paper.gap();
    for (const NotRead& one : assessment.not_read)
        paper.line(Ink::plain, "Not read: ", one.why);
}

void write_summary_text(const Assessment& assessment, std::ostream& out, const TextStyle& style) {
    Paper paper(out, style);
    write_summary_table(assessment, paper);
    paper.gap();
    const std::vector<Shared> shared = shared_findings(assessment);
    if (!shared.empty()) paper.line(Ink::strong, "", "What several routes share");
    for (std::size_t i = 0; i < std::min(shared.size(), k_most_shared); ++i)
        paper.line(Ink::plain, "  - ", shared_words(shared[i]));
    if (shared.size() > k_most_shared)
        paper.line(Ink::plain, "  - ",
                   fmt::format("and {} more, in the reports", shared.size() - k_most_shared));
    if (!shared.empty()) paper.gap();
    paper.line(Ink::strong, "", k_no_approval);
    paper.rule();
    write_origin(assessment, paper);
}

} // namespace waywarden::report
