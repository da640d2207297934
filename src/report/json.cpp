#include "report/fingerprint.hpp"
#include "report/json_legs.hpp"
#include "report/json_parts.hpp"
#include "report/places.hpp"
#include "report/ranking.hpp"
#include "report/telling.hpp"
#include "report/words.hpp"
#include "report/write.hpp"

#include <algorithm>
#include <cmath>
#include <ostream>

/// Stands for the vocabulary of docs/result.schema.json: whoever changes one changes the other.
namespace waywarden::report {

namespace {

Json other_readings(const survey::StretchSurvey& stretch) {
    Json out = Json::array();
    for (const survey::StretchReading& other : stretch.others)
        out.push_back({{"access", map::to_string(other.access)},
                       {"right", other.facts.text("right", "unknown")},
                       {"osm", osm(other.osm)},
                       {"name", other.name},
                       {"confidence", number(other.probability, 1e4)}});
    return out;
}

Json stretch(const survey::StretchSurvey& one, const Json& from) {
    Json line = Json::array();
    for (const match::TracePoint& point : one.line)
        line.push_back(position(point.position));
    return {{"from_m", from},
            {"to_m", metres(one.to_m)},
            {"access", map::to_string(one.reading.access)},
            {"right", one.reading.facts.text("right", "unknown")},
            {"osm", osm(one.reading.osm)},
            {"name", one.reading.name},
            {"confidence", number(one.reading.probability, 1e4)},
            {"facts", facts(one.reading.facts)},
            {"others", other_readings(one)},
            {"line", line}};
}

/// Each begins exactly where the one before ends: rounding must not open a gap.
Json stretches(const std::vector<survey::StretchSurvey>& all) {
    Json out = Json::array();
    for (std::size_t i = 0; i < all.size(); ++i) {
        const bool joins = i > 0 && std::abs(all[i].from_m - all[i - 1].to_m) < 0.001;
        out.push_back(stretch(all[i], metres(joins ? all[i - 1].to_m : all[i].from_m)));
    }
    return out;
}

Json by_access(const std::vector<survey::StretchSurvey>& all) {
    std::map<std::string, double> sums;
    for (const survey::StretchSurvey& one : all)
        sums[map::to_string(one.reading.access)] += one.to_m - one.from_m;
    Json out = Json::object();
    for (const auto& [access, length_m] : sums)
        out[access] = metres(length_m);
    return out;
}

Json crossings(const std::vector<survey::Crossing>& all) {
    Json out = Json::array();
    for (const survey::Crossing& one : all)
        out.push_back({{"at_m", metres(one.at_m)},
                       {"place", one.place},
                       {"position", position(one.position)},
                       {"of", survey::to_string(one.of)},
                       {"access", map::to_string(one.access)},
                       {"osm", map::to_string(one.osm)},
                       {"name", one.name},
                       {"means", survey::to_string(one.means)},
                       {"facts", facts(one.facts)},
                       {"evidence", evidence(one.evidence)}});
    return out;
}

Json spots(const std::vector<survey::Spot>& all) {
    Json out = Json::array();
    for (const survey::Spot& one : all)
        out.push_back({{"from_m", metres(one.from_m)},
                       {"to_m", metres(one.to_m)},
                       {"position", position(one.position)},
                       {"name", one.name},
                       {"facts", facts(one.facts)},
                       {"evidence", evidence(one.evidence)}});
    return out;
}

/// `number` is 0 for a finding that is there no longer.
Json finding(const rules::Finding& one, const Assessed& route, std::size_t number) {
    Json out = finding_json(one);
    out["grid_ref"] = geo::grid_reference(one.position, route.grid);
    if (number > 0) out["number"] = number;
    out["fingerprint"] = fingerprint(one);
    if (one.state != rules::State::not_compared) out["state"] = rules::to_string(one.state);
    if (!one.state_why.empty()) out["state_why"] = one.state_why;
    if (one.accepted)
        out["accepted"] = {
            {"by", one.accepted->by}, {"why", one.accepted->why}, {"until", one.accepted->until}};
    if (!one.acceptance_lapsed.empty()) out["acceptance_lapsed"] = one.acceptance_lapsed;
    return out;
}

Json findings(const Assessed& route) {
    const auto order = ranked(route);
    Json out = Json::array();
    for (const rules::Finding& one : route.findings) {
        const auto rank = std::find(order.begin(), order.end(), &one) - order.begin();
        out.push_back(finding(one, route, static_cast<std::size_t>(rank) + 1));
    }
    for (const rules::Finding& one : route.absent)
        out.push_back(finding(one, route, 0));
    return out;
}

const char* to_string(UnusedAcceptance::Because because) {
    using Because = UnusedAcceptance::Because;
    switch (because) {
    case Because::nothing_there:
        return "nothing_there";
    case Because::expired:
        return "expired";
    case Because::cannot_be_accepted:
        return "cannot_be_accepted";
    case Because::changed:
        return "changed";
    }
    return "";
}

Json unused_acceptances(const Assessed& route) {
    Json out = Json::array();
    for (const UnusedAcceptance& one : route.unused_acceptances)
        out.push_back({{"rule", one.finding.rule},
                       {"title", one.finding.title},
                       {"level", rules::to_string(one.finding.level)},
                       {"from_m", metres(one.finding.from_m)},
                       {"to_m", metres(one.finding.to_m)},
                       {"position", position(one.finding.position)},
                       {"grid_ref", geo::grid_reference(one.finding.position, route.grid)},
                       {"by", one.acceptance.by},
                       {"why", one.acceptance.why},
                       {"until", one.acceptance.until},
                       {"because", to_string(one.because)},
                       {"words", one.words}});
    return out;
}

Json changes(const std::vector<Change>& all) {
    Json out = Json::array();
    for (const Change& one : all)
        out.push_back({{"from_m", metres(one.from_m)},
                       {"to_m", metres(one.to_m)},
                       {"position", position(one.position)},
                       {"text", one.text}});
    return out;
}

Json route(const Assessed& one) {
    return {{"name", one.route.name},
            {"source", {{"path", one.route.path}, {"format", route::to_string(one.route.format)}}},
            {"verdict", rules::to_string(one.verdict)},
            {"region", one.region},
            {"region_note", one.region_note},
            {"length_m", metres(one.survey.length_m)},
            {"by_access", by_access(one.survey.stretches)},
            {"facts", facts(one.survey.route_facts)},
            {"stretches", stretches(one.survey.stretches)},
            {"crossings", crossings(one.survey.crossings)},
            {"spots", spots(one.survey.spots)},
            {"places", places_json(one.survey)},
            {"legs", legs(one)},
            {"legs_by", legs_by(one.survey.legs)},
            {"daylight", daylight(one.survey)},
            {"findings", findings(one)},
            {"changes", changes(one.changes)},
            {"unused_acceptances", unused_acceptances(one)},
            {"not_seen", one.survey.not_seen}};
}

Json map_source(const map::Source& source) {
    Json bounds = nullptr;
    if (source.bounds)
        bounds = Json::array({number(source.bounds->west_deg, 1e7), number(source.bounds->south_deg, 1e7),
                              number(source.bounds->east_deg, 1e7), number(source.bounds->north_deg, 1e7)});
    return {{"path", source.path},
            {"data_until", source.data_until ? Json(*source.data_until) : Json(nullptr)},
            {"data_until_from", source.data_until
                                    ? Json(source.data_until_from_header ? "header" : "newest_edit")
                                    : Json(nullptr)},
            {"bounds", bounds},
            {"attribution", source.attribution}};
}

/// What stands before the routes in a result, and what stands after them.
Json before_routes(const Assessment& assessment) {
    Json out{{"format", "waywarden-result"},
             {"version", 1},
             {"tool", {{"name", "waywarden"}, {"version", WAYWARDEN_VERSION}}},
             {"date", iso_time(assessment.date_s)}};
    out["map"] = Json::array();
    for (const map::Source& source : assessment.sources)
        out["map"].push_back(map_source(source));
    out["attribution"] = attribution(assessment.sources);
    out["region"] = assessment.region;
    out["party"] = assessment.party;
    out["rules"] = Json::array();
    for (const rules::SetName& set : assessment.rule_sets)
        out["rules"].push_back({{"name", set.name}, {"version", set.version}});
    return out;
}

Json after_routes(const Assessment& assessment) {
    Json out{{"shared", shared_json(assessment)}, {"not_read", Json::array()}};
    for (const NotRead& one : assessment.not_read)
        out["not_read"].push_back({{"path", one.path}, {"why", one.why}});
    return out;
}

/// The text of a value that stands `depth` deep: a string has no line break in JSON, so that each begins a
/// line.
void write_indented(std::string_view text, std::size_t depth, std::ostream& out) {
    const std::string indent = '\n' + std::string(depth, ' ');
    while (!text.empty()) {
        const std::size_t end = text.find('\n');
        out << indent << text.substr(0, end);
        text.remove_prefix(end == text.npos ? text.size() : end + 1);
    }
}

} // namespace

/// Route by route: a thousand in one document would take more memory than all else.
void write_json(const Assessment& assessment, std::ostream& out) {
    constexpr std::string_view k_opened = "{", k_closed = "\n}\n";
    const std::string before = json_text(before_routes(assessment)),
                      after = json_text(after_routes(assessment));
    out << std::string_view(before).substr(0, before.size() - k_closed.size()) << ",\n \"routes\": [";
    const char* comma = "";
    for (const Assessed& one : assessment.routes) {
        out << comma;
        const std::string text = json_text(route(one));
        write_indented(text, 2, out);
        comma = ",";
    }
    out << (assessment.routes.empty() ? "]," : "\n ],") << std::string_view(after).substr(k_opened.size());
}

} // namespace waywarden::report
