#include "report/gpx_parts.hpp"
#include "report/places.hpp"
#include "report/ranking.hpp"
#include "report/words.hpp"
#include "report/write.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>
#include <string>
#include <string_view>
#include <utility>

/// GPX 1.1 for a hand-held device: the findings as waypoints, the route as drawn as a track.
namespace waywarden::report {

namespace {

/// "3 Fast road without": the rule's id in words, cut at a word.
std::string short_name(std::size_t number, std::string rule) {
    std::replace(rule.begin(), rule.end(), '-', ' ');
    if (!rule.empty() && rule[0] >= 'a' && rule[0] <= 'z') rule[0] = static_cast<char>(rule[0] - 'a' + 'A');
    std::string out = fmt::format("{} {}", number, rule);
    if (gpx_name(out) == out) return out;
    out = gpx_name(std::move(out));
    for (const std::string_view last :
         {" without", " with", " with no", " no", " of", " in", " the", " that", " or", " and", " by"})
        if (out.ends_with(last)) out.resize(out.size() - last.size());
    return out;
}

std::string description(const rules::Finding& one, const Assessed& route) {
    std::string out = fmt::format("{}: {}. ", level_words(one.level), one.title);
    if (one.blocks_vouching) out = "CANNOT VOUCH. " + out;
    if (one.accepted)
        out = fmt::format("Accepted by {} until {}: {}. ", one.accepted->by, one.accepted->until,
                          one.accepted->why) +
              out;
    const std::string from = km_words(one.from_m), to = km_words(one.to_m);
    out += fmt::format("{}, km {}{}. ", geo::grid_reference(one.position, route.grid), from,
                       from == to ? "" : " to " + to);
    out += one.message;
    if (!one.advice.empty()) out += " To do: " + one.advice;
    return out;
}

void write_waypoints(const Assessed& route, pugi::xml_node& gpx) {
    std::size_t number = 0;
    for (const rules::Finding* one : ranked(route)) {
        ++number;
        gpx_waypoint(gpx, one->position,
                     {short_name(number, one->rule), description(*one, route), level_words(one->level)});
    }
}

void write_places(const Assessed& route, pugi::xml_node& gpx) {
    for (const survey::PlaceOnTheWay& place : route.survey.places) {
        const auto& kinds = needed_kinds();
        if (std::find(kinds.begin(), kinds.end(), place.kind) == kinds.end()) continue;
        const std::string words = place_words(place.kind);
        gpx_waypoint(gpx, place.position,
                     {gpx_name(words),
                      fmt::format("{}. {}, km {}.", place_line(place),
                                  geo::grid_reference(place.position, route.grid), km_words(place.at_m)),
                      words});
    }
}

} // namespace

void write_gpx(const Assessment& assessment, std::ostream& out) {
    pugi::xml_document document;
    pugi::xml_node gpx = begin_gpx(
        document, assessment,
        "What a check of the route against map data found. What nobody mapped is not here: local law, local "
        "advice and a competent leader decide.");
    for (const Assessed& route : assessment.routes)
        write_waypoints(route, gpx);
    for (const Assessed& route : assessment.routes)
        write_places(route, gpx);
    for (const Assessed& route : assessment.routes)
        gpx_track(route, gpx);
    end_gpx(document, out);
}

} // namespace waywarden::report
