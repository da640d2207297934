#include "report/gpx_parts.hpp"

#include "report/telling.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <cmath>
#include <ostream>
#include <string_view>

namespace waywarden::report {

namespace {

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

void gpx_child(pugi::xml_node& to, const char* name, const std::string& text) {
    to.append_child(name).text().set(xml_text(text).c_str());
}

/// The schema allows -180 and not 180.
void gpx_place(pugi::xml_node& to, geo::Position p) {
    std::string lon = fmt::format("{:.7f}", p.lon_deg);
    if (lon == "180.0000000") lon = "-180.0000000";
    to.append_attribute("lat").set_value(fmt::format("{:.7f}", p.lat_deg).c_str());
    to.append_attribute("lon").set_value(lon.c_str());
}

void write_metadata(const Assessment& assessment, const std::string& about, pugi::xml_node& gpx) {
    pugi::xml_node metadata = gpx.append_child("metadata");
    if (assessment.routes.size() == 1) gpx_child(metadata, "name", assessment.routes.front().route.name);
    gpx_child(metadata, "desc", about);
    pugi::xml_node copyright = metadata.append_child("copyright");
    std::string author = attribution(assessment.sources);
    const bool has_osm = author.find(map::k_osm_attribution) != std::string::npos;
    if (author.starts_with("© ")) author.erase(0, std::string("© ").size());
    copyright.append_attribute("author").set_value(xml_text(author).c_str());
    if (has_osm) gpx_child(copyright, "license", "https://opendatacommons.org/licenses/odbl/1-0/");
}

} // namespace

void gpx_track(const Assessed& route, pugi::xml_node& gpx) {
    pugi::xml_node trk = gpx.append_child("trk");
    gpx_child(trk, "name", route.route.name);
    gpx_child(trk, "desc",
              fmt::format("{}. The line as drawn; {}", verdict_words(route.verdict),
                          "a clean report is not an approval."));
    for (const route::Segment& segment : route.route.segments) {
        pugi::xml_node trkseg = trk.append_child("trkseg");
        for (const route::RoutePoint& point : segment.points) {
            pugi::xml_node trkpt = trkseg.append_child("trkpt");
            gpx_place(trkpt, point.position);
            if (point.elevation_m && std::isfinite(*point.elevation_m))
                gpx_child(trkpt, "ele", fmt::format("{:.1f}", *point.elevation_m));
        }
    }
}

pugi::xml_node begin_gpx(pugi::xml_document& document, const Assessment& assessment,
                         const std::string& about) {
    pugi::xml_node declaration = document.append_child(pugi::node_declaration);
    declaration.append_attribute("version").set_value("1.0");
    declaration.append_attribute("encoding").set_value("UTF-8");
    pugi::xml_node gpx = document.append_child("gpx");
    gpx.append_attribute("xmlns").set_value("http://www.topografix.com/GPX/1/1");
    gpx.append_attribute("version").set_value("1.1");
    gpx.append_attribute("creator").set_value("waywarden " WAYWARDEN_VERSION);
    write_metadata(assessment, about, gpx);
    return gpx;
}

void gpx_waypoint(pugi::xml_node& gpx, geo::Position at, const Waypoint& words) {
    pugi::xml_node wpt = gpx.append_child("wpt");
    gpx_place(wpt, at);
    gpx_child(wpt, "name", words.name);
    gpx_child(wpt, "desc", words.description);
    gpx_child(wpt, "type", words.type);
}

void end_gpx(const pugi::xml_document& document, std::ostream& out) {
    document.save(out, " ", pugi::format_indent, pugi::encoding_utf8);
}

std::string gpx_name(std::string words) {
    constexpr std::size_t k_longest = 24;
    if (words.size() <= k_longest) return words;
    const std::size_t blank = words.rfind(' ', k_longest);
    std::size_t end = blank > 3 && blank != std::string::npos ? blank : k_longest;
    while (end > 0 && (static_cast<unsigned char>(words[end]) & 0xC0U) == 0x80U)
        --end;
    words.resize(end);
    return words;
}

} // namespace waywarden::report
