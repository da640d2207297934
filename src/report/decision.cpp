#include "report/decision.hpp"

#include "report/json_parts.hpp"
#include "report/ranking.hpp"
#include "report/words.hpp"

#include <ostream>

namespace waywarden::report {

namespace {

Json routes(const Assessment& assessment) {
    Json out = Json::array();
    for (const Assessed& route : assessment.routes) {
        const Tally counts = tally(route);
        out.push_back({{"name", route.route.name},
                       {"path", route.route.path},
                       {"verdict", rules::to_string(route.verdict)},
                       {"objections", counts.errors},
                       {"cautions", counts.warnings},
                       {"notes", counts.notes},
                       {"accepted", counts.accepted}});
    }
    return out;
}

Json maps(const Assessment& assessment) {
    Json out = Json::array();
    for (const map::Source& source : assessment.sources)
        out.push_back({{"path", source.path},
                       {"data_until", source.data_until ? Json(*source.data_until) : Json(nullptr)}});
    return out;
}

} // namespace

void write_decision(const Decision& decision, const Result& result, std::ostream& out) {
    Json whole{{"format", "waywarden-decision"}, {"version", 1}, {"decision", decision.word}};
    if (!decision.text.empty()) whole["text"] = decision.text;
    whole["by"] = decision.by;
    whole["at"] = iso_time(decision.at_s);
    whole["result"] = {{"path", result.path}, {"sha256", result.sha256}};
    whole["tool"] = {{"name", "waywarden"}, {"version", result.tool_version}};
    whole["map"] = maps(result.assessment);
    whole["party"] = result.assessment.party;
    whole["date"] = iso_time(result.assessment.date_s);
    whole["routes"] = routes(result.assessment);
    out << json_text(whole);
}

} // namespace waywarden::report
