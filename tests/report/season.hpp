#pragma once

#include "assess.hpp"

/// Two walks a season apart over the same invented ground: 2 km eastward, in stretches of 500 m.
namespace waywarden::test {

/// Metres east and north of the start, on the sphere of the local frame to a few centimetres.
inline geo::Position on_ground(double east_m, double north_m = 0) {
    const geo::LocalFrame frame({3.0, 56.0});
    return frame.to_position({east_m, north_m});
}

inline survey::StretchSurvey walked(double from_m, double to_m, std::int64_t way, double north_m = 0) {
    survey::StretchSurvey out;
    out.from_m = from_m;
    out.to_m = to_m;
    out.reading.access = map::Access::footpath;
    out.reading.osm = map::ObjectId{map::ObjectType::way, way};
    out.reading.name = "Skua Lane";
    out.reading.facts.set("right", std::string("recorded"));
    for (double at_m = from_m; at_m < to_m; at_m += 50)
        out.line.push_back({on_ground(at_m, north_m), at_m, map::k_no_node});
    out.line.push_back({on_ground(to_m, north_m), to_m, map::k_no_node});
    return out;
}

inline rules::Finding found(const char* rule, double from_m, double to_m, std::int64_t way,
                            double north_m = 0) {
    rules::Finding out;
    out.rule = rule;
    out.title = rule;
    out.level = rules::Level::warning;
    out.from_m = from_m;
    out.to_m = to_m;
    out.position = on_ground(from_m, north_m);
    out.evidence = {{{map::ObjectType::way, way}, {}, 0}};
    return out;
}

inline Assessed one_walk(double north_m = 0, std::int64_t first_way = 1) {
    Assessed out;
    out.route.name = "Skua Head";
    out.route.path = "skua-head.gpx";
    out.region = "general";
    out.survey.length_m = 2000;
    for (int i = 0; i < 4; ++i)
        out.survey.stretches.push_back(walked(500 * i, 500 * (i + 1), first_way + i, north_m));
    return out;
}

inline Assessment season(Assessed route) {
    Assessment out;
    out.party = "youth-expedition";
    out.rule_sets = {{"walking-core", 1}};
    out.routes = {std::move(route)};
    return out;
}

inline survey::Crossing crossed(double at_m, survey::CrossingOf of, survey::Means means, std::int64_t way) {
    survey::Crossing out;
    out.at_m = at_m;
    out.position = on_ground(at_m);
    out.of = of;
    out.osm = {map::ObjectType::way, way};
    out.name = "Skua Burn";
    out.means = means;
    return out;
}

inline survey::Spot gate(double at_m, bool locked) {
    survey::Spot out;
    out.from_m = out.to_m = at_m;
    out.position = on_ground(at_m);
    out.facts.set("kind", std::string("gate"));
    out.facts.set("barrier_kind", std::string("gate"));
    out.facts.set("locked", locked);
    return out;
}

} // namespace waywarden::test
