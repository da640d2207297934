#include "report/sample.hpp"
#include "report/telling.hpp"
#include "report/write.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>
#include <pugixml.hpp>

#include <functional>
#include <sstream>

using namespace waywarden;
using Json = nlohmann::json;

namespace {

const std::string k_osm = "© OpenStreetMap contributors";
const std::string k_board = "Harbour Board of Ulverskay, licence CC0";

using Writer = std::function<void(const Assessment&, std::ostream&)>;

std::string written(const Writer& write, const Assessment& assessment) {
    std::ostringstream out;
    write(assessment, out);
    return out.str();
}

const std::vector<std::pair<const char*, Writer>> k_all = {
    {"json", report::write_json},
    {"text",
     [](const Assessment& a, std::ostream& out) {
         report::write_text(a, out, {false, 1000});
     }},
    {"summary",
     [](const Assessment& a, std::ostream& out) {
         report::write_summary_text(a, out, {false, 1000});
     }},
    {"sarif", report::write_sarif},
    {"geojson", report::write_geojson},
    {"gpx", report::write_gpx},
    {"html", report::write_html},
    {"summary page", [](const Assessment& a, std::ostream& out) { report::write_summary_html(a, out); }},
    {"team page", report::write_team_html},
    {"marshals' text", report::write_marshals_text},
    {"marshals' page", report::write_marshals_html},
    {"marshals' gpx", report::write_marshals_gpx}};

Assessment credited(const std::vector<std::string>& maps) {
    Assessment out = test::sample();
    out.sources.clear();
    for (const std::string& one : maps) {
        map::Source source;
        source.path = "map.osm.pbf";
        source.attribution = one;
        out.sources.push_back(source);
    }
    return out;
}

std::size_t times(const std::string& text, const std::string& what) {
    std::size_t out = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1))
        ++out;
    return out;
}

} // namespace

TEST_CASE("every report credits the maps it rests on, and nobody else") {
    for (const auto& [name, write] : k_all) {
        CAPTURE(name);
        CHECK(written(write, test::sample()).find("OpenStreetMap contributors") != std::string::npos);
        CHECK(written(write, credited({})).find("OpenStreetMap contributors") != std::string::npos);
        const std::string own = written(write, credited({k_board}));
        CHECK(own.find(k_board) != std::string::npos);
        CHECK(own.find("OpenStreetMap") == std::string::npos);
        CHECK(own.find("opendatacommons") == std::string::npos);
        const std::string both = written(write, credited({k_osm, k_board, k_osm}));
        CHECK(both.find("OpenStreetMap contributors") != std::string::npos);
        CHECK(both.find(k_board) != std::string::npos);
    }
    std::ostringstream team;
    report::write_team_text(credited({k_board}), team);
    CHECK(team.str().find("Map data: " + k_board + ".") != std::string::npos);
}

TEST_CASE("of several maps each is credited once, in their order") {
    const auto sources = credited({k_osm, k_board, k_osm}).sources;
    CHECK(report::attribution(sources) == k_osm + "; " + k_board);
    CHECK(report::attribution_words(sources) ==
          "Map data " + k_osm + ", under the Open Database Licence. Map data: " + k_board + ".");
    CHECK(report::attribution_words(
              credited({map::attribution_of("https://maps.example/ulverskay.osm.pbf")}).sources) ==
          "Map data " + k_osm +
              ", under the Open Database Licence; the file names as its source: "
              "https://maps.example/ulverskay.osm.pbf.");
    const Json json = Json::parse(written(report::write_json, credited({k_osm, k_board})));
    CHECK(json["attribution"] == k_osm + "; " + k_board);
    CHECK(json["map"][1]["attribution"] == k_board);
}

TEST_CASE("a header cannot write into a report") {
    const std::string hostile =
        map::attribution_of("licence </p><script>alert(1)</script>\" onload=\"x\x1b[31m\xff]]>&\xE2\x80\xAE"
                            "end");
    const Assessment assessment = credited({hostile});
    for (const Writer& page :
         {Writer(report::write_html), Writer(report::write_team_html), Writer(report::write_marshals_html)}) {
        const std::string text = written(page, assessment), plain = written(page, credited({k_board}));
        CHECK(text.find("<script>alert") == std::string::npos);
        CHECK(text.find("\" onload=") == std::string::npos);
        CHECK(text.find("&lt;script&gt;alert(1)&lt;/script&gt;&quot; onload=&quot;x") != std::string::npos);
        CHECK(times(text, "<script") == times(plain, "<script"));
        CHECK(times(text, "</p>") == times(plain, "</p>"));
    }
    for (const auto& [name, write] : k_all) {
        CAPTURE(name);
        const std::string text = written(write, assessment);
        CHECK(text.find('\x1b') == std::string::npos);
        CHECK(text.find('\xff') == std::string::npos);
    }
    pugi::xml_document gpx;
    REQUIRE(gpx.load_string(written(report::write_gpx, assessment).c_str()));
    CHECK(std::string(gpx.child("gpx").child("metadata").child("copyright").attribute("author").value())
              .starts_with("licence </p><script>"));
    CHECK_FALSE(Json::parse(written(report::write_json, assessment)).is_discarded());
}
