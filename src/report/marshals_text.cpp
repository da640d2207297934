#include "report/marshals_words.hpp"
#include "report/paper.hpp"
#include "report/words.hpp"
#include "report/write.hpp"

#include <fmt/format.h>

namespace waywarden::report {

namespace {

std::string where(const Assessed& route, double at_m, double to_m, geo::Position position) {
    const std::string from = km_words(at_m), to = km_words(to_m);
    return fmt::format("{}, km {}{}", geo::grid_reference(position, route.grid), from,
                       from == to ? "" : " to " + to);
}

void write_post(const Assessed& route, const Post& post, Paper& paper) {
    const Ink ink = post.call == Call::do_not_cross || post.call == Call::needed ? Ink::objection
                    : post.call == Call::not_called_for                          ? Ink::plain
                                                                                 : Ink::caution;
    paper.gap();
    paper.line(ink, fmt::format("{:>4}. ", fmt::format("M{}", post.number)),
               fmt::format("{} · {}", where(route, post.at_m, post.to_m, post.position), post.what));
    std::string facts;
    if (!post.limit.empty()) facts = fmt::format("Limit {}. ", post.limit);
    for (const std::string* words : {&post.facility, &post.sight, &post.time})
        if (!words->empty()) facts += *words + ". ";
    if (!facts.empty()) paper.line(Ink::plain, "      ", facts);
    paper.line(ink, "      Marshals: ", fmt::format("{}: {}.", call_words(post.call), post.why));
    if (!post.stand.empty()) paper.line(Ink::plain, "      Where: ", post.stand + ".");
}

void write_list(const Assessed& route, const char* title, const std::vector<std::string>& sentences,
                const std::vector<Feature>& features, Paper& paper) {
    paper.gap();
    paper.line(Ink::strong, "", title);
    for (const std::string& one : sentences)
        paper.line(Ink::plain, "  - ", one);
    for (const Feature& one : features)
        paper.line(Ink::plain, "    ",
                   fmt::format("{}: {}", where(route, one.at_m, one.to_m, one.position), one.what));
}

void write_sheet(const Assessed& route, const Assessment& assessment, Paper& paper) {
    const MarshalSheet sheet = marshal_sheet(route, assessment);
    paper.line(Ink::strong, "Marshals' sheet: ", fmt::format("{} ({})", route.route.name, route.route.path));
    paper.line(route.verdict >= rules::Verdict::objections ? Ink::objection : Ink::plain,
               "Verdict of the check: ",
               fmt::format("{}. This sheet is no approval.", verdict_words(route.verdict)));
    paper.line(Ink::plain, "", sheet.party);
    paper.line(Ink::strong, "", sheet.summary);
    paper.gap();
    for (const std::string& one : marshal_cautions())
        paper.line(Ink::strong, "  ! ", one);
    for (const Post& post : sheet.posts)
        write_post(route, post, paper);
    if (sheet.posts.empty())
        paper.line(Ink::plain, "", "The map shows nothing crossed, and nowhere to queue.");
    write_list(route, "Wheels and weak knees", sheet.wheels_words, sheet.wheels, paper);
    write_list(route, "Where a vehicle with help reaches the route", sheet.help_words, sheet.vehicles, paper);
    write_list(route, "Toilets, water, parking, shelter", sheet.places_words, sheet.places, paper);
    write_list(route, "The rule by which marshals are called for", marshal_rule(), {}, paper);
    write_list(route, "What was not seen", route.survey.not_seen, {}, paper);
}

} // namespace

void write_marshals_text(const Assessment& assessment, std::ostream& out) {
    Paper paper(out, {});
    for (const NotRead& one : assessment.not_read)
        paper.line(Ink::objection, "Not read: ", one.why);
    for (const Assessed& route : assessment.routes) {
        if (paper.used()) paper.rule();
        write_sheet(route, assessment, paper);
    }
    paper.rule();
    write_origin(assessment, paper);
}

} // namespace waywarden::report
