#include "report/result_reader.hpp"

#include "error.hpp"
#include "region/region.hpp"
#include "report/result_values.hpp"
#include "report/sha256.hpp"
#include "report/walk_of_result.hpp"
#include "survey/spots.hpp"

namespace waywarden::report {

namespace {

/// A result does not say its grid; its region does, as long as there is one of that name.
geo::GridSystem grid_of(const std::string& region) {
    try {
        return region::load(region).grid;
    } catch (const ArgumentError&) {
        return geo::GridSystem::utm;
    }
}

using rules::Value;

/// A number or null.
std::optional<std::string> text_or_null(const Value& value) {
    if (value.at->is_null()) return std::nullopt;
    return value.text();
}

std::vector<survey::Evidence> read_evidence(const Value& value) {
    std::vector<survey::Evidence> out;
    for (const Value& item : value.items()) {
        survey::Evidence one;
        one.osm = read_object(item["osm"]);
        for (const auto& [key, tag] : item["tags"].members())
            one.tags.emplace_back(key, tag.text());
        if (item.has("edited"))
            if (const auto edited = text_or_null(item["edited"])) {
                const auto edited_s = survey::time_of(*edited);
                if (!edited_s) item["edited"].refuse("is no time");
                one.edited_s = *edited_s;
            }
        out.push_back(std::move(one));
    }
    return out;
}

rules::State read_state(const Value& finding) {
    if (!finding.has("state")) return rules::State::not_compared;
    constexpr rules::State k_states[] = {rules::State::fresh, rules::State::unchanged, rules::State::absent};
    return k_states[finding["state"].one_of({"new", "unchanged", "absent"})];
}

rules::Level read_level(const Value& value) {
    constexpr rules::Level k_levels[] = {rules::Level::note, rules::Level::warning, rules::Level::error};
    return k_levels[value.one_of({"note", "warning", "error"})];
}

rules::Verdict read_verdict(const Value& value) {
    constexpr rules::Verdict k_verdicts[] = {rules::Verdict::no_objection, rules::Verdict::cautions,
                                             rules::Verdict::objections, rules::Verdict::cannot_vouch};
    return k_verdicts[value.one_of({"no_objection", "cautions", "objections", "cannot_vouch"})];
}

Assessed read_route(const Value& value) {
    Assessed out;
    out.route.name = value["name"].text();
    out.route.path = value["source"]["path"].text();
    constexpr route::Format k_formats[] = {route::Format::gpx, route::Format::geojson, route::Format::kml,
                                           route::Format::card};
    out.route.format = k_formats[value["source"]["format"].one_of({"gpx", "geojson", "kml", "card"})];
    out.survey.length_m = read_metres(value["length_m"]);
    out.region = value["region"].text();
    out.grid = grid_of(out.region);
    out.survey.not_seen = value["not_seen"].texts();
    for (const Value& item : value["findings"].items()) {
        rules::Finding one = read_finding(item);
        (one.state == rules::State::absent ? out.absent : out.findings).push_back(std::move(one));
    }
    for (const Value& item : value.has("changes") ? value["changes"].items() : std::vector<Value>{})
        out.changes.push_back({read_metres(item["from_m"]), read_metres(item["to_m"]),
                               read_position(item["position"]), item["text"].text()});
    out.verdict = read_verdict(value["verdict"]);
    if (out.verdict != rules::verdict_of(out.findings))
        value["verdict"].refuse(std::string("does not follow from the findings, which give ") +
                                rules::to_string(rules::verdict_of(out.findings)) +
                                "; the file was changed: check the route again");
    return out;
}

map::Source read_source(const Value& value) {
    map::Source out;
    out.path = value["path"].text();
    out.data_until = text_or_null(value["data_until"]);
    out.data_until_from_header = value.has("data_until_from") && !value["data_until_from"].at->is_null() &&
                                 value["data_until_from"].one_of({"header", "newest_edit"}) == 0;
    if (value.has("attribution")) out.attribution = value["attribution"].text();
    if (out.attribution.empty()) value["attribution"].refuse("must say whom the map credits");
    if (value["bounds"].at->is_null()) return out;
    const auto box = value["bounds"].items();
    if (box.size() != 4) value["bounds"].refuse("must be [west, south, east, north]");
    out.bounds = map::Box{box[0].number(), box[1].number(), box[2].number(), box[3].number()};
    return out;
}

Assessment read_assessment(const Value& root) {
    Assessment out;
    const auto date_s = survey::time_of(root["date"].text());
    if (!date_s) root["date"].refuse("is no time");
    out.date_s = *date_s;
    for (const Value& one : root["map"].items())
        out.sources.push_back(read_source(one));
    out.region = root["region"].text();
    out.party = root["party"].text();
    for (const Value& one : root["rules"].items())
        out.rule_sets.push_back({one["name"].text(), read_count(one["version"])});
    for (const Value& one : root["routes"].items())
        out.routes.push_back(read_route(one));
    for (const Value& one : root["not_read"].items())
        out.not_read.push_back({one["path"].text(), one["why"].text()});
    return out;
}

} // namespace

rules::Finding read_finding(const Value& value) {
    rules::Finding out;
    out.rule = value["rule"].text();
    out.title = value["title"].text();
    out.level = read_level(value["level"]);
    out.from_m = read_metres(value["from_m"]);
    out.to_m = read_metres(value["to_m"]);
    if (out.to_m < out.from_m) value["to_m"].refuse("is less than from_m");
    out.position = read_position(value["position"]);
    out.message = value["message"].text();
    out.advice = value["advice"].text();
    out.evidence = read_evidence(value["evidence"]);
    out.grounds = value["grounds"].texts();
    constexpr rules::EvidenceGrade k_grades[] = {
        rules::EvidenceGrade::explicit_recent, rules::EvidenceGrade::explicit_tag,
        rules::EvidenceGrade::inferred, rules::EvidenceGrade::presumed, rules::EvidenceGrade::unknown};
    out.grade = k_grades[value["evidence_grade"].one_of(
        {"explicit_recent", "explicit", "inferred", "presumed", "unknown"})];
    out.count = read_count(value["count"]);
    out.cannot_tell = value["cannot_tell"].truth();
    out.blocks_vouching = value["blocks_vouching"].truth();
    out.state = read_state(value);
    if (value.has("state_why")) out.state_why = value["state_why"].text();
    if (value.has("accepted")) {
        const Value by = value["accepted"];
        if (out.blocks_vouching) by.refuse("what could not be checked cannot be accepted");
        out.accepted = rules::Acceptance{by["by"].text(), by["why"].text(), by["until"].text()};
    }
    return out;
}

Result read_result(const std::string& path, bool with_walks) {
    Result out{path, "", "", rules::read_text(path), {}};
    out.sha256 = sha256(out.text);
    const rules::Document document(out.text, path);
    const Value root = rules::whole(document);
    if (!root.at->is_object() || !root.has("format") || *root["format"].at != "waywarden-result")
        throw DataError(path + ": is no result; name a file written with --format json");
    if (*root["version"].at != 1)
        root["version"].refuse("must be 1: a newer version of the program wrote this");
    out.tool_version = root["tool"]["version"].text();
    out.assessment = read_assessment(root);
    for (std::size_t i = 0; with_walks && i < out.assessment.routes.size(); ++i)
        add_walk(root["routes"].item(i), out.assessment.routes[i].survey);
    return out;
}

} // namespace waywarden::report
