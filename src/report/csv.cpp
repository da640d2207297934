#include "report/csv_cells.hpp"
#include "report/ranking.hpp"
#include "report/shared.hpp"
#include "report/words.hpp"
#include "report/write.hpp"

#include <fmt/format.h>

#include <ostream>
#include <string>
#include <vector>

namespace waywarden::report {

namespace {

std::string evidence_words(const std::vector<survey::Evidence>& all) {
    std::string out;
    for (const survey::Evidence& one : all) {
        out += (out.empty() ? "" : "; ") + map::to_string(one.osm);
        for (const auto& [key, value] : one.tags)
            out += fmt::format(" {}={}", key, value);
    }
    return out;
}

std::string grounds_words(const std::vector<std::string>& all) {
    std::string out;
    for (const std::string& one : all)
        out += (out.empty() ? "" : "; ") + one;
    return out;
}

std::string accepted_words(const rules::Finding& finding) {
    if (!finding.accepted) return "";
    const rules::Acceptance& by = *finding.accepted;
    return fmt::format("by {} until {}: {}", by.by, by.until, by.why);
}

/// `number` is empty for a finding that is there no longer.
void finding_line(const Assessed& route, const rules::Finding& one, const std::string& number,
                  std::ostream& out) {
    csv_line(out, {text_cell(route.route.name), number, rules::to_string(one.level), text_cell(one.rule),
                   text_cell(one.title), number_cell(one.from_m, 2), number_cell(one.to_m, 2),
                   text_cell(geo::grid_reference(one.position, route.grid)),
                   number_cell(one.position.lat_deg, 7), number_cell(one.position.lon_deg, 7),
                   text_cell(one.message), text_cell(one.advice), text_cell(evidence_words(one.evidence)),
                   text_cell(grounds_words(one.grounds)), one.blocks_vouching ? "yes" : "no",
                   rules::to_string(one.state), text_cell(accepted_words(one))});
}

} // namespace

void write_csv(const Assessment& assessment, std::ostream& out) {
    csv_line(out, {"route", "number", "level", "rule", "title", "from_m", "to_m", "grid_ref", "lat", "lon",
                   "message", "advice", "evidence", "grounds", "cannot_vouch", "state", "accepted"});
    for (const Assessed& route : assessment.routes) {
        std::size_t number = 0;
        for (const rules::Finding* one : ranked(route))
            finding_line(route, *one, std::to_string(++number), out);
        for (const rules::Finding& one : route.absent)
            finding_line(route, one, "", out);
    }
}

void write_summary_csv(const Assessment& assessment, std::ostream& out) {
    csv_line(out, {"route", "verdict", "objections", "cautions", "notes", "km", "path", "accepted"});
    for (const NotRead& one : assessment.not_read)
        csv_line(out, {"", "not_read", "", "", "", "", text_cell(one.path), ""});
    for (const Assessed* route : worst_first(assessment)) {
        const Tally counts = tally(*route);
        csv_line(out, {text_cell(route->route.name), rules::to_string(route->verdict),
                       std::to_string(counts.errors), std::to_string(counts.warnings),
                       std::to_string(counts.notes), number_cell(rounded_m(route->survey.length_m) / 1000, 2),
                       text_cell(route->route.path), std::to_string(counts.accepted)});
    }
}

void write_shared_csv(const Assessment& assessment, std::ostream& out) {
    csv_line(out,
             {"thing", "routes", "level", "rule", "title", "grid_ref", "lat", "lon", "osm", "route", "path"});
    std::size_t number = 0;
    for (const Shared& one : shared_findings(assessment)) {
        ++number;
        for (const Assessed* route : one.routes)
            csv_line(out,
                     {std::to_string(number), std::to_string(one.routes.size()),
                      rules::to_string(one.finding->level), text_cell(one.finding->rule),
                      text_cell(one.finding->title), text_cell(geo::grid_reference(one.position, one.grid)),
                      number_cell(one.position.lat_deg, 7), number_cell(one.position.lon_deg, 7),
                      text_cell(one.osm), text_cell(route->route.name), text_cell(route->route.path)});
    }
}

} // namespace waywarden::report
