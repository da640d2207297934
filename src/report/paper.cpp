#include "report/paper.hpp"

#include "report/telling.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <ostream>

namespace waywarden::report {

namespace {

const char* start_of(Ink ink) {
    switch (ink) {
    case Ink::plain:
        return "";
    case Ink::strong:
        return "\x1b[1m";
    case Ink::faint:
        return "\x1b[2m";
    case Ink::caution:
        return "\x1b[1;33m";
    case Ink::objection:
        return "\x1b[1;31m";
    }
    return "";
}

} // namespace

void Paper::line(Ink ink, std::string_view label, std::string_view text) {
    const bool coloured = m_style.colour && ink != Ink::plain;
    if (coloured) m_out << start_of(ink);
    m_out << wrapped(label, plain(text), m_style.width);
    if (coloured) m_out << "\x1b[0m";
    m_used = true;
}

void Paper::table_line(const std::string& text) {
    std::string out = plain(text);
    out.erase(out.find_last_not_of(' ') + 1);
    m_out << out << '\n';
    m_used = true;
}

void Paper::gap() {
    m_out << '\n';
}

void Paper::rule() {
    m_out << '\n' << std::string(m_style.width, '-') << '\n';
}

void write_origin(const Assessment& assessment, Paper& paper) {
    for (const map::Source& source : assessment.sources) {
        const std::string age = data_age_words(source);
        paper.line(Ink::plain, "Map: ", fmt::format("{}, {}", source.path, age));
    }
    std::string sets;
    for (const rules::SetName& set : assessment.rule_sets)
        sets += fmt::format("{}{} {}", sets.empty() ? "" : ", ", set.name, set.version);
    paper.line(Ink::plain, "Judged: ",
               fmt::format("region {}; party {}; rules {}; ages counted to {}; waywarden {}",
                           assessment.region, assessment.party, sets, date_words(assessment.date_s),
                           WAYWARDEN_VERSION));
    paper.line(Ink::plain, "", attribution_words(assessment.sources));
}

} // namespace waywarden::report
