#include "report/paper.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <tuple>

namespace waywarden::report {

namespace {

struct Row {
    const Assessed* route = nullptr;
    std::size_t errors = 0, warnings = 0, notes = 0;
};

Row row_of(const Assessed& route) {
    Row out{&route};
    for (const rules::Finding& one : route.findings) {
        if (one.level == rules::Level::error) ++out.errors;
        if (one.level == rules::Level::warning) ++out.warnings;
        if (one.level == rules::Level::note) ++out.notes;
    }
    return out;
}

std::vector<Row> worst_first(const Assessment& assessment) {
    std::vector<Row> rows;
    for (const Assessed& route : assessment.routes)
        rows.push_back(row_of(route));
    const auto harm = [](const Row& r) {
        return std::tuple(r.route->verdict, r.errors, r.warnings, r.notes);
    };
    std::stable_sort(rows.begin(), rows.end(), [&](const Row& a, const Row& b) { return harm(a) > harm(b); });
    return rows;
}

} // namespace

void write_summary_table(const Assessment& assessment, Paper& paper) {
    paper.line(Ink::strong, "",
               fmt::format("{}, the worst first", counted(assessment.routes.size(), "route", "routes")));
    paper.gap();
    paper.line(Ink::faint, "verdict             obj. caut. notes       km  ", "route");
    for (const NotRead& one : assessment.not_read)
        paper.line(Ink::objection, padded("COULD NOT BE READ", 47), one.path);
    for (const Row& row : worst_first(assessment)) {
        const std::string label =
            fmt::format("{} {:>4} {:>5} {:>5} {:>8.1f}  ", padded(verdict_words(row.route->verdict), 19),
                        row.errors, row.warnings, row.notes, row.route->survey.length_m / 1000);
        const bool bad = row.route->verdict >= rules::Verdict::objections;
        paper.line(bad ? Ink::objection : Ink::plain, label,
                   fmt::format("{} ({})", row.route->route.name,
                               std::filesystem::path(row.route->route.path).filename().string()));
    }
    if (!assessment.not_read.empty()) paper.gap();
    for (const NotRead& one : assessment.not_read)
        paper.line(Ink::plain, "Not read: ", one.why);
}

void write_summary_text(const Assessment& assessment, std::ostream& out, const TextStyle& style) {
    Paper paper(out, style);
    write_summary_table(assessment, paper);
    paper.gap();
    paper.line(Ink::strong, "", k_no_approval);
    paper.rule();
    write_origin(assessment, paper);
}

} // namespace waywarden::report
