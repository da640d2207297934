#include "report/json_parts.hpp"

#include "geo/grid_reference.hpp"
#include "report/shared.hpp"
#include "report/words.hpp"

#include <cmath>
#include <variant>

namespace waywarden::report {

namespace {

Json fact(const std::optional<survey::FactValue>& value) {
    if (!value) return nullptr;
    if (const auto* flag = std::get_if<bool>(&*value)) return *flag;
    if (const auto* figure = std::get_if<double>(&*value)) return number(*figure, 1e4);
    return std::get<std::string>(*value);
}

} // namespace

Json number(double value, double scale) {
    const double rounded = std::round(value * scale) / scale;
    return std::isfinite(rounded) ? Json(rounded + 0.0) : Json(nullptr); // + 0.0 turns -0 into 0
}

Json metres(double value) {
    return number(value, 100);
}

Json position(geo::Position p) {
    return Json::array({number(p.lon_deg, 1e7), number(p.lat_deg, 1e7)});
}

Json osm(const std::optional<map::ObjectId>& id) {
    return id ? Json(map::to_string(*id)) : Json(nullptr);
}

Json facts(const survey::Facts& all) {
    Json out = Json::object();
    for (const auto& [name, value] : all.all())
        out[name] = fact(value);
    return out;
}

Json evidence(const std::vector<survey::Evidence>& all) {
    Json out = Json::array();
    for (const survey::Evidence& one : all) {
        Json tags = Json::object();
        for (const auto& [key, value] : one.tags)
            tags[key] = value;
        out.push_back({{"osm", map::to_string(one.osm)},
                       {"tags", tags},
                       {"edited", one.edited_s ? Json(iso_time(one.edited_s)) : Json(nullptr)}});
    }
    return out;
}

Json finding_json(const rules::Finding& one) {
    return {{"rule", one.rule},
            {"title", one.title},
            {"level", rules::to_string(one.level)},
            {"from_m", metres(one.from_m)},
            {"to_m", metres(one.to_m)},
            {"position", position(one.position)},
            {"message", one.message},
            {"advice", one.advice},
            {"evidence", evidence(one.evidence)},
            {"evidence_grade", rules::to_string(one.grade)},
            {"grounds", one.grounds},
            {"count", one.count},
            {"cannot_tell", one.cannot_tell},
            {"blocks_vouching", one.blocks_vouching}};
}

Json shared_json(const Assessment& assessment) {
    Json out = Json::array();
    for (const Shared& one : shared_findings(assessment)) {
        Json routes = Json::array();
        for (const Assessed* route : one.routes)
            routes.push_back({{"name", route->route.name}, {"path", route->route.path}});
        out.push_back({{"rule", one.finding->rule},
                       {"title", one.finding->title},
                       {"level", rules::to_string(one.finding->level)},
                       {"osm", one.osm},
                       {"position", position(one.position)},
                       {"grid_ref", geo::grid_reference(one.position, one.grid)},
                       {"routes", routes}});
    }
    return out;
}

std::string json_text(const Json& whole) {
    return whole.dump(1, ' ', false, Json::error_handler_t::replace) + '\n';
}

} // namespace waywarden::report
