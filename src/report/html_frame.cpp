#include "report/html_frame.hpp"

#include "report/html_text.hpp"
#include "report/telling.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <filesystem>

namespace waywarden::report {

/// The page may load nothing at all; only the style and the script that are in it may run, told by hash.
std::string page_head(const std::string& title, const std::string& style, const char* script) {
    const std::string policy = fmt::format(
        "default-src 'none'; style-src '{}'; {}img-src data:; base-uri 'none'; form-action 'none'",
        policy_hash(style), script ? fmt::format("script-src '{}'; ", policy_hash(script)) : "");
    return fmt::format("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                       "<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">\n"
                       "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                       "<meta name=\"referrer\" content=\"no-referrer\">\n"
                       "<title>{}</title>\n<style>{}</style>\n</head>\n<body>\n"
                       "<a class=\"skip\" href=\"#main\">To the report</a>\n",
                       policy, html(title), style);
}

std::string page_end(const Assessment& assessment, const char* script) {
    return "<footer><p class=\"small\">" + html(attribution_words(assessment.sources)) + "</p></footer>\n" +
           (script ? fmt::format("<script>{}</script>\n", script) : std::string()) + "</body>\n</html>\n";
}

std::string file_name(const std::string& path) {
    return html(std::filesystem::path(path).filename().string());
}

std::string origin_section(const Assessment& assessment) {
    std::string out =
        "<section aria-labelledby=\"origin\">\n<h2 id=\"origin\">What this rests on</h2>\n<ul>\n";
    for (const map::Source& source : assessment.sources) {
        const std::string age = data_age_words(source);
        out += fmt::format("<li>Map: {}, {}</li>\n", html(source.path), html(age));
    }
    std::string sets;
    for (const rules::SetName& set : assessment.rule_sets)
        sets += fmt::format("{}{} {}", sets.empty() ? "" : ", ", set.name, set.version);
    return out +
           fmt::format("<li>Judged: region {}; party {}; rules {}; ages counted to {}; waywarden {}</li>\n"
                       "</ul>\n</section>\n",
                       html(assessment.region), html(assessment.party), html(sets),
                       date_words(assessment.date_s), WAYWARDEN_VERSION);
}

std::string not_read_list(const Assessment& assessment) {
    if (assessment.not_read.empty()) return "";
    std::string out = "<h2>Could not be read</h2>\n<ul>\n";
    for (const NotRead& one : assessment.not_read)
        out += "<li>" + html(one.why) + "</li>\n";
    return out + "</ul>\n";
}

} // namespace waywarden::report
