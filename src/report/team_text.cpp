#include "report/team_sheet.hpp"
#include "report/telling.hpp"
#include "report/words.hpp"
#include "report/write.hpp"

#include <fmt/format.h>

#include <ostream>

namespace waywarden::report {

namespace {

constexpr std::size_t k_width = 78;
const char* const k_answer_line =
    "      ____________________________________________________________________\n";

void paragraphs(const std::vector<std::string>& all, std::ostream& out) {
    for (const std::string& one : all)
        out << wrapped("", one, k_width) << '\n';
}

void write_route(const Assessed& route, const std::string& attribution, std::ostream& out) {
    out << "Questions for: " << plain(team_name(route)) << "\n\n";
    paragraphs(team_opening(), out);
    int number = 0;
    for (const TeamLeg& leg : team_questions(route)) {
        out << plain(leg.heading) << '\n';
        for (const TeamQuestion& question : leg.questions) {
            const std::string text =
                question.where.empty() ? question.text : question.where + ": " + question.text;
            out << wrapped(fmt::format("  {:>2}. ", ++number), plain(text), k_width) << k_answer_line << '\n';
        }
    }
    if (number == 0)
        out << "There is no question from this reading of your plan. Look it through once more "
               "yourselves.\n\n";
    paragraphs(team_closing(), out);
    out << wrapped("", plain(attribution), k_width);
}

} // namespace

void write_team_text(const Assessment& assessment, std::ostream& out) {
    const std::string attribution = attribution_words(assessment.sources);
    for (std::size_t i = 0; i < assessment.routes.size(); ++i) {
        if (i > 0) out << "\f";
        write_route(assessment.routes[i], attribution, out);
    }
}

} // namespace waywarden::report
