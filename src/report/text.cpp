#include "report/paper.hpp"
#include "report/ranking.hpp"
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

/// The grounds that findings rest on, each once, numbered in the order in which they come up.
class GroundsList {
  public:
    std::size_t number_of(const std::string& text) {
        const auto known = std::find(m_texts.begin(), m_texts.end(), text);
        if (known != m_texts.end()) return static_cast<std::size_t>(known - m_texts.begin()) + 1;
        m_texts.push_back(text);
        return m_texts.size();
    }
    const std::vector<std::string>& texts() const { return m_texts; }

  private:
    std::vector<std::string> m_texts;
};

std::string counts(const Tally& t) {
    return fmt::format("{}, {}, {}", counted(t.errors, "objection", "objections"),
                       counted(t.warnings, "caution", "cautions"), counted(t.notes, "note", "notes"));
}

std::string what_it_means(const Assessed& route) {
    switch (route.verdict) {
    case Verdict::cannot_vouch:
        return "Some of this route could not be checked at all. Nothing below says that it is fit to walk.";
    case Verdict::objections:
        return "Each objection needs an answer before anyone says yes.";
    case Verdict::cautions:
        return "Nothing found that must stop it. Look at each caution before saying yes.";
    case Verdict::no_objection:
        return "The map data gives no ground to object. That is not an approval: see what was not seen.";
    }
    return "";
}

/// Whether a finding is one of those that brought the verdict about.
bool decides(const Finding& finding, Verdict verdict) {
    switch (verdict) {
    case Verdict::cannot_vouch:
        return finding.blocks_vouching;
    case Verdict::objections:
        return finding.level == Level::error;
    case Verdict::cautions:
        return finding.level == Level::warning;
    case Verdict::no_objection:
        return false;
    }
    return false;
}

struct Reason {
    std::string title;
    std::vector<double> from_m;
};

/// The findings that decided, by title, with where each begins; in order of the walk.
std::vector<Reason> reasons(const Assessed& route) {
    std::vector<Reason> out;
    for (const Finding& one : route.findings) {
        if (!decides(one, route.verdict)) continue;
        auto known =
            std::find_if(out.begin(), out.end(), [&](const Reason& r) { return r.title == one.title; });
        if (known == out.end()) known = out.insert(out.end(), Reason{one.title, {}});
        known->from_m.push_back(one.from_m);
    }
    return out;
}

std::string reason_words(const Reason& reason) {
    constexpr std::size_t k_most_places = 6;
    std::string places;
    for (std::size_t i = 0; i < std::min(reason.from_m.size(), k_most_places); ++i)
        places += fmt::format("{}{:.1f}", i ? ", " : "", reason.from_m[i] / 1000);
    if (reason.from_m.size() > k_most_places)
        places += fmt::format(" and {} more", reason.from_m.size() - k_most_places);
    return fmt::format("{} (km {})", reason.title, places);
}

void write_verdict(const Assessed& route, Paper& paper) {
    const Ink ink = route.verdict == Verdict::no_objection ? Ink::strong
                    : route.verdict == Verdict::cautions   ? Ink::caution
                                                           : Ink::objection;
    paper.line(ink, "", fmt::format("{}: {}", verdict_words(route.verdict), counts(tally(route))));
    paper.line(Ink::plain, "", what_it_means(route));
    const std::vector<Reason> all = reasons(route);
    for (std::size_t i = 0; i < std::min(all.size(), k_most_reasons); ++i)
        paper.line(Ink::plain, "  - ", reason_words(all[i]));
    if (all.size() > k_most_reasons)
        paper.line(Ink::plain, "  - ", fmt::format("and {} more below", all.size() - k_most_reasons));
}

std::string lengths_by_access(const std::vector<survey::StretchSurvey>& stretches) {
    std::map<std::string, double> sums_m;
    for (const survey::StretchSurvey& one : stretches)
        sums_m[map::to_string(one.reading.access)] += one.to_m - one.from_m;
    std::vector<std::pair<std::string, double>> sorted(sums_m.begin(), sums_m.end());
    std::stable_sort(sorted.begin(), sorted.end(),
                     [](const auto& a, const auto& b) { return a.second > b.second; });
    std::string out;
    for (auto& [access, length_m] : sorted) {
        std::replace(access.begin(), access.end(), '_', ' ');
        out += fmt::format("{}{} {}", out.empty() ? "" : ", ", access, distance_words(length_m));
    }
    return out;
}

std::string crossing_counts(const std::vector<survey::Crossing>& crossings) {
    std::map<survey::CrossingOf, std::set<int>> places;
    for (const survey::Crossing& one : crossings)
        places[one.of].insert(one.place);
    const std::pair<survey::CrossingOf, const char*> kinds[] = {{survey::CrossingOf::road, "roads"},
                                                                {survey::CrossingOf::rail, "railways"},
                                                                {survey::CrossingOf::water, "water"},
                                                                {survey::CrossingOf::barrier, "barriers"}};
    std::string out;
    for (const auto& [of, word] : kinds)
        if (places.contains(of))
            out += fmt::format("{}{} {}", out.empty() ? "" : ", ", word, places[of].size());
    return out;
}

void write_figures(const Assessed& route, Paper& paper) {
    std::string text = distance_words(route.survey.length_m);
    if (const std::string lengths = lengths_by_access(route.survey.stretches); !lengths.empty())
        text += ": " + lengths;
    text += ".";
    if (const std::string crossed = crossing_counts(route.survey.crossings); !crossed.empty())
        text += " Places where it crosses: " + crossed + ".";
    paper.line(Ink::plain, "", text);
}

std::string place_of(const Finding& finding, geo::GridSystem grid) {
    const std::string at = geo::grid_reference(finding.position, grid);
    const std::string from = km_words(finding.from_m), to = km_words(finding.to_m);
    if (from == to) return fmt::format("{}, at km {}", at, from);
    if (finding.count > 1) return fmt::format("{}, between km {} and {}", at, from, to);
    return fmt::format("{}, km {} to {} ({})", at, from, to, distance_words(finding.to_m - finding.from_m));
}

std::string evidence_words(const survey::Evidence& evidence) {
    std::string out = map::to_string(evidence.osm);
    const char* before = " ";
    for (const auto& [key, value] : evidence.tags)
        out += fmt::format("{}{}={}", std::exchange(before, ", "), key, value);
    out += evidence.edited_s ? fmt::format(" (edited {})", date_words(evidence.edited_s))
                             : " (edit date not known)";
    return out;
}

std::string grade_of(const Finding& finding) {
    const bool tagged = finding.grade == rules::EvidenceGrade::explicit_tag ||
                        finding.grade == rules::EvidenceGrade::explicit_recent;
    return tagged && finding.evidence.empty() ? "the line as drawn, against the map"
                                              : grade_words(finding.grade);
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
    const std::string title = fmt::format("{}: {}{}", level_words(finding.level), finding.title,
                                          finding.blocks_vouching ? " [cannot vouch]" : "");
    paper.line(ink, fmt::format("{:>2}. ", rank), title);
    paper.line(Ink::strong, "    ", place_of(finding, route.grid));
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

void write_route(const Assessed& route, Paper& paper) {
    paper.line(Ink::strong, "Route: ", fmt::format("{} ({})", route.route.name, route.route.path));
    write_verdict(route, paper);
    paper.gap();
    write_figures(route, paper);
    GroundsList grounds;
    write_findings(route, grounds, paper);
    write_grounds(grounds, paper);
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
