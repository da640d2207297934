#include "report/html_text.hpp"
#include "report/team_sheet.hpp"
#include "report/telling.hpp"
#include "report/words.hpp"
#include "report/write.hpp"

#include <ostream>
#include <string>

namespace waywarden::report {

namespace {

/// A sheet of paper: large letters, room to write.
const std::string k_style = "body{font:1.1rem/1.5 sans-serif;max-width:44rem;margin:2rem auto;padding:0 1rem;"
                            "color:#111;background:#fff}"
                            "h1{font-size:1.5rem}h2{font-size:1.15rem;margin:1.6rem 0 .4rem}"
                            "li{margin:0 0 .8rem;break-inside:avoid}.where{font-weight:600}"
                            ".answer{border-bottom:1px solid #555;height:2.2rem}"
                            "footer{font-size:.9rem;margin-top:2rem;color:#333}"
                            "section+section{break-before:page}";

void paragraphs(const std::vector<std::string>& all, std::ostream& out) {
    for (const std::string& one : all)
        out << "<p>" << html(one) << "</p>\n";
}

void write_question(const TeamQuestion& question, int number, std::ostream& out) {
    out << "<li value=\"" << std::to_string(number) << "\">";
    if (!question.where.empty()) out << "<span class=\"where\">" << html(question.where) << ":</span> ";
    out << html(question.text) << "<div class=\"answer\"></div></li>\n";
}

void write_route(const Assessed& route, const std::string& attribution, std::ostream& out) {
    out << "<section>\n<h1>Questions for: " << html(team_name(route)) << "</h1>\n";
    paragraphs(team_opening(), out);
    int number = 0;
    for (const TeamLeg& leg : team_questions(route)) {
        out << "<h2>" << html(leg.heading) << "</h2>\n<ol>\n";
        for (const TeamQuestion& question : leg.questions)
            write_question(question, ++number, out);
        out << "</ol>\n";
    }
    if (number == 0)
        out << "<p>There is no question from this reading of your plan. Look it through once more "
               "yourselves.</p>\n";
    paragraphs(team_closing(), out);
    out << "<footer>" << html(attribution) << "</footer>\n</section>\n";
}

} // namespace

void write_team_html(const Assessment& assessment, std::ostream& out) {
    out << "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
           "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src '"
        << policy_hash(k_style)
        << "'\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
           "<title>Questions about your walk</title>\n<style>"
        << k_style << "</style>\n</head>\n<body>\n";
    const std::string attribution = attribution_words(assessment.sources);
    for (const Assessed& route : assessment.routes)
        write_route(route, attribution, out);
    out << "</body>\n</html>\n";
}

} // namespace waywarden::report
