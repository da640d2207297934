#include "report/paper.hpp"
#include "report/ranking.hpp"
#include "report/states.hpp"
#include "report/telling.hpp"
#include "report/words.hpp"
#include "report/write.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <ostream>
#include <set>
#include <utility>

namespace waywarden::report {

namespace {

using rules::Finding;
using rules::Level;
using rules::Verdict;

constexpr std::size_t k_most_evidence =
    4; ///< more objects than these are a count: the JSON result has them all
constexpr std::size_t k_most_reasons = 10;

void write_verdict(const Assessed& route, Paper& paper) {
    const Ink ink = route.verdict == Verdict::no_objection ? Ink::strong
                    : route.verdict == Verdict::cautions   ? Ink::caution
                                                           : Ink::objection;
    paper.line(ink, "", fmt::format("{}: {}", verdict_words(route.verdict), counts(route)));
    paper.line(Ink::plain, "", what_it_means(route));
    if (const std::string states = states_words(route); !states.empty()) paper.line(Ink::plain, "", states);
    const std::vector<Reason> all = reasons(route);
    for (std::size_t i = 0; i < std::min(all.size(), k_most_reasons); ++i)
        paper.line(Ink::plain, "  - ", reason_words(all[i]));
    if (all.size() > k_most_reasons)
        paper.line(Ink::plain, "  - ", fmt::format("and {} more below", all.size() - k_most_reasons));
}

void write_figures(const Assessed& route, Paper& paper) {
    std::string text = distance_words(route.survey.length_m);
    if (const std::string lengths = lengths_by_access(route); !lengths.empty()) text += ": " + lengths;
    text += ".";
    if (const std::string crossed = crossing_counts(route); !crossed.empty())
        text += " Places where it crosses: " + crossed + ".";
    paper.line(Ink::plain, "", text);
}

void write_evidence(const Finding& finding, Paper& paper) {
    std::string text = grade_of(finding);
    const std::size_t shown = std::min(finding.evidence.size(), k_most_evidence);
    for (std::size_t i = 0; i < shown; ++i)
        text += "; " + evidence_words(finding.evidence[i]);
    if (finding.evidence.size() > shown)
        text += fmt::format("; and {} (all in the JSON result)",
                            counted(finding.evidence.size() - shown, "more object", "more objects"));
    paper.line(Ink::faint, "    Evidence: ", text + ".");
}

void write_finding(const Finding& finding, std::size_t rank, const Assessed& route, GroundsList& grounds,
                   Paper& paper) {
    const Ink ink = finding.level == Level::error     ? Ink::objection
                    : finding.level == Level::warning ? Ink::caution
                                                      : Ink::strong;
    const std::string title =
        fmt::format("{}: {}{}{}{}", level_words(finding.level), finding.title,
                    finding.blocks_vouching ? " [cannot vouch]" : "", finding.accepted ? " [accepted]" : "",
                    finding.state == rules::State::fresh ? " [new]" : "");
    paper.line(ink, fmt::format("{:>2}. ", rank), title);
    paper.line(Ink::strong, "    ", place_of(finding, route.grid));
    if (const std::string words = acceptance_words(finding); !words.empty())
        paper.line(Ink::strong, "    ", words + ".");
    if (!finding.state_why.empty()) paper.line(Ink::plain, "    New because: ", finding.state_why + ".");
    paper.line(Ink::plain, "    ", finding.message);
    if (!finding.advice.empty()) paper.line(Ink::plain, "    To do: ", finding.advice);
    write_evidence(finding, paper);
    std::string numbers;
    for (const std::string& one : finding.grounds)
        numbers += fmt::format("{}[{}]", numbers.empty() ? "" : " ", grounds.number_of(one));
    if (!numbers.empty()) paper.line(Ink::faint, "    Grounds: ", numbers);
}

void write_findings(const Assessed& route, GroundsList& grounds, Paper& paper) {
    const std::vector<const Finding*> all = ranked(route);
    for (std::size_t i = 0; i < all.size(); ++i) {
        paper.gap();
        write_finding(*all[i], i + 1, route, grounds, paper);
    }
}

/// What an earlier result had and this one has not.
void write_absent(const Assessed& route, Paper& paper) {
    if (route.absent.empty()) return;
    paper.gap();
    paper.line(Ink::strong, "", "No longer found since the result compared with");
    for (const Finding& one : route.absent)
        paper.line(Ink::plain, "  - ",
                   fmt::format("{}: {} ({}){}", level_words(one.level), one.title,
                               geo::grid_reference(one.position, route.grid),
                               one.state_why.empty() ? "" : "; " + one.state_why));
}

/// Entries of the file of accepted findings that cover nothing.
void write_unused(const Assessed& route, Paper& paper) {
    if (route.unused_acceptances.empty()) return;
    paper.gap();
    paper.line(Ink::strong, "", k_unused_title);
    for (const UnusedAcceptance& one : route.unused_acceptances)
        paper.line(Ink::plain, "  - ", unused_words(one, route.grid));
}

/// What the map says otherwise, whether or not a finding came of it.
void write_changes(const Assessed& route, Paper& paper) {
    constexpr std::size_t k_most = 12; // all are in the JSON result
    if (route.changes.empty()) return;
    paper.gap();
    paper.line(Ink::strong, "", "What the map says otherwise than it did");
    for (std::size_t i = 0; i < std::min(route.changes.size(), k_most); ++i)
        paper.line(Ink::plain, "  - ", change_words(route.changes[i], route.grid));
    if (route.changes.size() > k_most)
        paper.line(Ink::plain, "  - ",
                   fmt::format("and {} more, in the JSON result", route.changes.size() - k_most));
}

void write_grounds(const GroundsList& grounds, Paper& paper) {
    if (grounds.texts().empty()) return;
    paper.gap();
    paper.line(Ink::strong, "", "Grounds");
    for (std::size_t i = 0; i < grounds.texts().size(); ++i)
        paper.line(Ink::faint, fmt::format("{:>4} ", fmt::format("[{}]", i + 1)), grounds.texts()[i]);
}

void write_not_seen(const Assessed& route, Paper& paper) {
    paper.gap();
    paper.line(Ink::strong, "", "What was not seen");
    const auto& not_seen = route.survey.not_seen;
    for (const std::string& one : not_seen)
        paper.line(Ink::plain, "  - ", one);
    if (not_seen.empty() || !not_seen.back().ends_with(k_no_approval))
        paper.line(Ink::strong, "  ", k_no_approval);
}

/// The sun, where a date was given.
void write_daylight(const Assessed& route, Paper& paper) {
    if (!route.survey.daylight || route.survey.daylight->words.empty()) return;
    paper.gap();
    paper.line(Ink::plain, "Daylight: ", route.survey.daylight->words);
}

void write_route(const Assessed& route, Paper& paper) {
    paper.line(Ink::strong, "Route: ", fmt::format("{} ({})", route.route.name, route.route.path));
    write_verdict(route, paper);
    paper.gap();
    write_figures(route, paper);
    GroundsList grounds;
    write_findings(route, grounds, paper);
    write_absent(route, paper);
    write_unused(route, paper);
    write_changes(route, paper);
    write_grounds(grounds, paper);
    write_legs(route, paper);
    write_daylight(route, paper);
    write_card(route, paper);
    write_places(route, paper);
    write_not_seen(route, paper);
    if (!route.region_note.empty()) {
        paper.gap();
        paper.line(Ink::plain, "Region: ", route.region_note);
    }
}

} // namespace

void write_text(const Assessment& assessment, std::ostream& out, const TextStyle& style) {
    Paper paper(out, style);
    if (assessment.routes.size() + assessment.not_read.size() > 1) write_summary_table(assessment, paper);
    for (const Assessed& route : assessment.routes) {
        if (&route != assessment.routes.data() || paper.used()) paper.rule();
        write_route(route, paper);
    }
    paper.rule();
    write_origin(assessment, paper);
}

} // namespace waywarden::report
