#pragma once

#include "assess.hpp"

/// An assessment made by hand: one invented route over two stretches and one crossing, with a finding of each
/// level.
namespace waywarden::test {

inline survey::StretchSurvey stretch(double from_m, double to_m, map::Access access, std::int64_t way) {
    survey::StretchSurvey out;
    out.from_m = from_m;
    out.to_m = to_m;
    out.reading.access = access;
    out.reading.osm = map::ObjectId{map::ObjectType::way, way};
    out.reading.name = "Harbour Lane";
    out.reading.probability = 0.987654321;
    out.reading.facts.set("right", std::string("presumed"));
    out.reading.facts.set_unknown("speed_limit_kmh");
    out.line = {{{3.0, 56.0}, from_m, map::k_no_node}, {{3.0123456789, 56.0}, to_m, map::k_no_node}};
    return out;
}

inline rules::Finding finding(rules::Level level, double from_m, double to_m, const std::string& title) {
    rules::Finding out;
    out.rule = "along-a-fast-road";
    out.title = title;
    out.level = level;
    out.from_m = from_m;
    out.to_m = to_m;
    out.position = {3.001, 56.002};
    out.message = "340 m along Harbour Lane, limit 60 mph, no pavement recorded";
    out.advice = "Ask for a way round.";
    out.evidence = {
        {{map::ObjectType::way, 12}, {{"highway", "secondary"}, {"maxspeed", "60 mph"}}, 1658262090}};
    out.grounds = {"The Highway Code, rules 1, 2 and 5 (DfT/DVSA)"};
    out.grade = rules::EvidenceGrade::explicit_tag;
    return out;
}

inline Assessment sample() {
    Assessed one;
    one.route.name = "Three Bays";
    one.route.path = "routes/three-bays.gpx";
    one.survey.length_m = 1234.5678;
    one.survey.stretches = {stretch(0, 700.005, map::Access::footpath, 11),
                            stretch(700.005, 1234.5678, map::Access::minor_road, 12)};
    survey::Crossing crossing;
    crossing.at_m = 699.9;
    crossing.place = 1;
    crossing.position = {3.001, 56.002};
    crossing.of = survey::CrossingOf::road;
    crossing.access = map::Access::minor_road;
    crossing.osm = {map::ObjectType::way, 12};
    crossing.means = survey::Means::level;
    one.survey.crossings = {crossing};
    one.survey.not_seen = {"Weather, river levels, livestock."};
    one.findings = {finding(rules::Level::note, 100, 100, "A stile"),
                    finding(rules::Level::error, 700.005, 1040, "Walking along a fast road"),
                    finding(rules::Level::warning, 10, 20, "A farmyard")};
    one.verdict = rules::Verdict::objections;
    one.region = "general";

    Assessment out;
    map::Source source;
    source.path = "island.osm.pbf";
    source.data_until = "2026-07-20T20:21:30Z";
    source.data_until_from_header = true;
    source.bounds = map::Box{2.9, 55.9, 3.2, 56.1};
    out.sources = {source};
    out.region = "general";
    out.party = "youth-expedition";
    out.rule_sets = {{"walking-core", 1}};
    out.date_s = 1784592000; // 2026-07-21
    out.routes = {one};
    return out;
}

} // namespace waywarden::test
