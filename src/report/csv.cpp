#include "report/ranking.hpp"
#include "report/words.hpp"
#include "report/write.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <ostream>
#include <string>
#include <string_view>
#include <vector>

/// Tables as RFC 4180 has them: lines end in CRLF, the first names the columns, cells with a comma or a quote
/// are quoted. No line break ever stands in a cell.
namespace waywarden::report {

namespace {

std::string quoted(const std::string& cell) {
    if (cell.find_first_of(",\"") == std::string::npos) return cell;
    std::string out = "\"";
    for (const char c : cell) {
        if (c == '"') out += '"';
        out += c;
    }
    return out + '"';
}

/// A spreadsheet takes what begins with one of these for a formula (OWASP, "CSV Injection"; the wide forms of
/// = + - @ too), and some skip blanks before it: an apostrophe makes it text. Tab and CR at the front are
/// looked for before plain() turns them into blanks.
bool is_formula(std::string_view text) {
    if (text.starts_with('\t') || text.starts_with('\r') || text.starts_with('\n')) return true;
    text.remove_prefix(std::min(text.find_first_not_of(' '), text.size()));
    static constexpr std::array<std::string_view, 8> k_starts{"=",      "+",      "-",      "@",
                                                              "\uFF1D", "\uFF0B", "\uFF0D", "\uFF20"};
    for (const std::string_view start : k_starts)
        if (text.starts_with(start)) return true;
    return false;
}

std::string text_cell(std::string_view text) {
    return quoted((is_formula(text) ? "'" : "") + plain(text));
}

/// A number, or nothing where there is none; the point is the decimal sign whatever the locale.
std::string number_cell(double value, int digits) {
    if (!std::isfinite(value)) return "";
    const std::string out = fmt::format("{:.{}f}", value, digits);
    return out.find_first_not_of("-0.") == std::string::npos && out.starts_with('-') ? out.substr(1) : out;
}

void line(std::ostream& out, const std::vector<std::string>& cells) {
    for (std::size_t i = 0; i < cells.size(); ++i)
        out << (i ? "," : "") << cells[i];
    out << "\r\n";
}

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
    line(out,
         {text_cell(route.route.name), number, rules::to_string(one.level), text_cell(one.rule),
          text_cell(one.title), number_cell(one.from_m, 2), number_cell(one.to_m, 2),
          text_cell(geo::grid_reference(one.position, route.grid)), number_cell(one.position.lat_deg, 7),
          number_cell(one.position.lon_deg, 7), text_cell(one.message), text_cell(one.advice),
          text_cell(evidence_words(one.evidence)), text_cell(grounds_words(one.grounds)),
          one.blocks_vouching ? "yes" : "no", rules::to_string(one.state), text_cell(accepted_words(one))});
}

} // namespace

void write_csv(const Assessment& assessment, std::ostream& out) {
    line(out, {"route", "number", "level", "rule", "title", "from_m", "to_m", "grid_ref", "lat", "lon",
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
    line(out, {"route", "verdict", "objections", "cautions", "notes", "km", "path", "accepted"});
    for (const NotRead& one : assessment.not_read)
        line(out, {"", "not_read", "", "", "", "", text_cell(one.path), ""});
    for (const Assessed* route : worst_first(assessment)) {
        const Tally counts = tally(*route);
        line(out, {text_cell(route->route.name), rules::to_string(route->verdict),
                   std::to_string(counts.errors), std::to_string(counts.warnings),
                   std::to_string(counts.notes), number_cell(rounded_m(route->survey.length_m) / 1000, 2),
                   text_cell(route->route.path), std::to_string(counts.accepted)});
    }
}

} // namespace waywarden::report
