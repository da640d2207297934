#include "report/geo_shapes.hpp"
#include "report/json_parts.hpp"
#include "report/ranking.hpp"
#include "report/telling.hpp"
#include "report/write.hpp"

#include <ostream>

/// GeoJSON as RFC 7946 has it: longitude first, WGS 84, no `crs`; lines are cut at the antimeridian (3.1.9).
namespace waywarden::report {

namespace {

Json coordinates(const Line& line) {
    Json out = Json::array();
    for (const geo::Position p : line)
        out.push_back(position(p));
    return out;
}

Json point(geo::Position p) {
    return {{"type", "Point"}, {"coordinates", position(p)}};
}

/// A line, or several where it had to be cut; a place where no line is left.
Json shape(const std::vector<Line>& lines, geo::Position otherwise) {
    if (lines.empty()) return point(otherwise);
    if (lines.size() == 1) return {{"type", "LineString"}, {"coordinates", coordinates(lines.front())}};
    Json parts = Json::array();
    for (const Line& line : lines)
        parts.push_back(coordinates(line));
    return {{"type", "MultiLineString"}, {"coordinates", parts}};
}

/// Features, and the box around them all.
class Collection {
  public:
    void add(const std::vector<Line>& lines, geo::Position otherwise, Json properties) {
        const std::vector<Line> cut = cut_at_antimeridian(lines);
        for (const Line& line : cut)
            m_seen.insert(m_seen.end(), line.begin(), line.end());
        if (cut.empty()) m_seen.push_back(otherwise);
        m_features.push_back({{"type", "Feature"},
                              {"geometry", shape(cut, otherwise)},
                              {"properties", std::move(properties)}});
    }

    Json whole(const std::vector<map::Source>& sources) const {
        Json out{{"type", "FeatureCollection"}};
        if (const auto box = box_around(m_seen))
            out["bbox"] = Json::array({number(box->west_deg, 1e7), number(box->south_deg, 1e7),
                                       number(box->east_deg, 1e7), number(box->north_deg, 1e7)});
        out["attribution"] = attribution(sources);
        out["features"] = m_features;
        return out;
    }

  private:
    Json m_features = Json::array();
    Line m_seen;
};

void add_stretches(const Assessed& route, Collection& to) {
    for (const survey::StretchSurvey& one : route.survey.stretches) {
        Json properties{{"kind", "stretch"},
                        {"route", route.route.name},
                        {"from_m", metres(one.from_m)},
                        {"to_m", metres(one.to_m)},
                        {"access", map::to_string(one.reading.access)},
                        {"right", one.reading.facts.text("right", "unknown")},
                        {"osm", osm(one.reading.osm)},
                        {"name", one.reading.name},
                        {"confidence", number(one.reading.probability, 1e4)},
                        {"facts", facts(one.reading.facts)}};
        Line line;
        for (const match::TracePoint& p : one.line)
            line.push_back(p.position);
        const geo::Position first = line.empty() ? geo::Position{} : line.front();
        to.add({line}, first, std::move(properties));
    }
}

void add_crossings(const Assessed& route, Collection& to) {
    for (const survey::Crossing& one : route.survey.crossings)
        to.add({}, one.position,
               {{"kind", "crossing"},
                {"route", route.route.name},
                {"at_m", metres(one.at_m)},
                {"place", one.place},
                {"of", survey::to_string(one.of)},
                {"access", map::to_string(one.access)},
                {"osm", map::to_string(one.osm)},
                {"name", one.name},
                {"means", survey::to_string(one.means)},
                {"facts", facts(one.facts)}});
}

Json properties_of(const Assessed& route, const rules::Finding& one) {
    Json out{{"kind", "finding"},
             {"route", route.route.name},
             {"rule", one.rule},
             {"title", one.title},
             {"level", rules::to_string(one.level)},
             {"blocks_vouching", one.blocks_vouching},
             {"from_m", metres(one.from_m)},
             {"to_m", metres(one.to_m)},
             {"grid_ref", geo::grid_reference(one.position, route.grid)},
             {"message", one.message},
             {"advice", one.advice},
             {"evidence", evidence(one.evidence)},
             {"grounds", one.grounds},
             {"count", one.count}};
    if (one.state != rules::State::not_compared) out["state"] = rules::to_string(one.state);
    if (one.accepted)
        out["accepted"] = {
            {"by", one.accepted->by}, {"why", one.accepted->why}, {"until", one.accepted->until}};
    return out;
}

/// Several places gathered into one finding are no line: it stands at its own position.
void add_findings(const Assessed& route, Collection& to) {
    std::size_t number = 0;
    for (const rules::Finding* one : ranked(route)) {
        Json properties = properties_of(route, *one);
        properties["number"] = ++number;
        const bool is_line = one->count == 1 && one->to_m > one->from_m;
        to.add(is_line ? line_between(route.survey.stretches, one->from_m, one->to_m) : std::vector<Line>{},
               one->position, std::move(properties));
    }
    for (const rules::Finding& one : route.absent)
        to.add({}, one.position, properties_of(route, one));
}

} // namespace

void write_geojson(const Assessment& assessment, std::ostream& out) {
    Collection all;
    for (const Assessed& route : assessment.routes) {
        add_stretches(route, all);
        add_crossings(route, all);
        add_findings(route, all);
    }
    out << json_text(all.whole(assessment.sources));
}

} // namespace waywarden::report
