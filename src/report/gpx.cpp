#include "report/ranking.hpp"
#include "report/words.hpp"
#include "report/write.hpp"

#include <fmt/format.h>
#include <pugixml.hpp>

#include <algorithm>
#include <cmath>
#include <ostream>
#include <string>
#include <string_view>

/// GPX 1.1 for a hand-held device: the findings as waypoints, the route as drawn as a track. The order of
/// elements is that of the schema (topografix.com/GPX/1/1).
namespace waywarden::report {

namespace {

constexpr std::size_t k_longest_name =
    24; ///< characters; small devices show no more (common practice, no source)

/// One line for XML 1.0, which forbids control characters, U+FFFE and U+FFFF even when escaped: those are
/// dropped; what else cannot be shown becomes U+FFFD.
std::string xml_text(std::string_view text) {
    std::string kept;
    for (const char c : text)
        if (static_cast<unsigned char>(c) >= 0x20 || c == '\t' || c == '\n' || c == '\r') kept += c;
    std::string out = plain(kept);
    for (const std::string_view none : {"\xEF\xBF\xBE", "\xEF\xBF\xBF"})
        for (std::size_t at = out.find(none); at != std::string::npos; at = out.find(none, at))
            out.erase(at, none.size());
    return out;
}

void child(pugi::xml_node& to, const char* name, const std::string& text) {
    to.append_child(name).text().set(xml_text(text).c_str());
}

/// The schema allows -180 and not 180.
void place(pugi::xml_node& to, geo::Position p) {
    std::string lon = fmt::format("{:.7f}", p.lon_deg);
    if (lon == "180.0000000") lon = "-180.0000000";
    to.append_attribute("lat").set_value(fmt::format("{:.7f}", p.lat_deg).c_str());
    to.append_attribute("lon").set_value(lon.c_str());
}

/// "3 Fast road without": the rule's id in words, cut at a word.
std::string short_name(std::size_t number, std::string rule) {
    std::replace(rule.begin(), rule.end(), '-', ' ');
    if (!rule.empty() && rule[0] >= 'a' && rule[0] <= 'z') rule[0] = static_cast<char>(rule[0] - 'a' + 'A');
    std::string out = fmt::format("{} {}", number, rule);
    if (out.size() <= k_longest_name) return out;
    const std::size_t blank = out.rfind(' ', k_longest_name);
    out.resize(blank > 3 && blank != std::string::npos ? blank : k_longest_name);
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
        pugi::xml_node wpt = gpx.append_child("wpt");
        place(wpt, one->position);
        child(wpt, "name", short_name(++number, one->rule));
        child(wpt, "desc", description(*one, route));
        child(wpt, "type", level_words(one->level));
    }
}

void write_track(const Assessed& route, pugi::xml_node& gpx) {
    pugi::xml_node trk = gpx.append_child("trk");
    child(trk, "name", route.route.name);
    child(trk, "desc",
          fmt::format("{}. The line as drawn; {}", verdict_words(route.verdict),
                      "a clean report is not an approval."));
    for (const route::Segment& segment : route.route.segments) {
        pugi::xml_node trkseg = trk.append_child("trkseg");
        for (const route::RoutePoint& point : segment.points) {
            pugi::xml_node trkpt = trkseg.append_child("trkpt");
            place(trkpt, point.position);
            if (point.elevation_m && std::isfinite(*point.elevation_m))
                child(trkpt, "ele", fmt::format("{:.1f}", *point.elevation_m));
        }
    }
}

void write_metadata(const Assessment& assessment, pugi::xml_node& gpx) {
    pugi::xml_node metadata = gpx.append_child("metadata");
    if (assessment.routes.size() == 1) child(metadata, "name", assessment.routes.front().route.name);
    child(
        metadata, "desc",
        "What a check of the route against map data found. What nobody mapped is not here: local law, local "
        "advice and a competent leader decide.");
    pugi::xml_node copyright = metadata.append_child("copyright");
    copyright.append_attribute("author").set_value("OpenStreetMap contributors");
    child(copyright, "license", "https://opendatacommons.org/licenses/odbl/1-0/");
}

} // namespace

void write_gpx(const Assessment& assessment, std::ostream& out) {
    pugi::xml_document document;
    pugi::xml_node declaration = document.append_child(pugi::node_declaration);
    declaration.append_attribute("version").set_value("1.0");
    declaration.append_attribute("encoding").set_value("UTF-8");
    pugi::xml_node gpx = document.append_child("gpx");
    gpx.append_attribute("xmlns").set_value("http://www.topografix.com/GPX/1/1");
    gpx.append_attribute("version").set_value("1.1");
    gpx.append_attribute("creator").set_value("waywarden " WAYWARDEN_VERSION);
    write_metadata(assessment, gpx);
    for (const Assessed& route : assessment.routes)
        write_waypoints(route, gpx);
    for (const Assessed& route : assessment.routes)
        write_track(route, gpx);
    document.save(out, " ", pugi::format_indent, pugi::encoding_utf8);
}

} // namespace waywarden::report
