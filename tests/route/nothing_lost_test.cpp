#include "error.hpp"
#include "route/read.hpp"
#include "route/text.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <random>
#include <sstream>

/// A part of the route that is dropped without a word is a route nobody checked. Each case here holds more
/// than a reader in a hurry would see.
namespace {

using namespace waywarden;
using route::OddityKind;

const std::string k_a = R"(<trkpt lat="56" lon="3"/>)", k_b = R"(<trkpt lat="56.001" lon="3"/>)";
const std::string k_line = R"({"type":"LineString","coordinates":[[3,56],[3,56.001]]})";

std::string gpx(const std::string& inside) {
    return "<gpx version=\"1.1\">" + inside + "</gpx>";
}

std::string track(const std::string& points) {
    return "<trk><trkseg>" + points + "</trkseg></trk>";
}

std::string beside_line(const std::string& geometry) {
    return R"({"type":"GeometryCollection","geometries":[)" + k_line + "," + geometry + "]}";
}

route::Route read(const std::string& text) {
    return route::read_text(text, "walk.x");
}

std::string refusal(const std::string& text) {
    try {
        read(text);
    } catch (const DataError& e) {
        return e.what();
    }
    return "read";
}

bool says(const std::string& text, const std::string& words) {
    return text.find(words) != std::string::npos;
}

std::size_t points_of(const route::Route& route) {
    std::size_t points = 0;
    for (const auto& segment : route.segments)
        points += segment.points.size();
    return points;
}

std::vector<OddityKind> kinds(const route::Route& route) {
    std::vector<OddityKind> out;
    for (const auto& oddity : route.oddities)
        out.push_back(oddity.kind);
    return out;
}

} // namespace

// Extensible Markup Language 1.0: a document has one root element (rule 1), no zero byte (rule 2), an
// attribute name once in a tag (section 3.1); comments may stand between any text (section 2.5).
TEST_CASE("XML that goes on where a lenient parser stops is refused") {
    const std::string one = gpx(track(k_a + k_b));
    CHECK(says(refusal(one + "\n" + one), "walk.x:2: "));
    CHECK(says(refusal(one + "\n" + one), "goes on after its end"));
    CHECK(says(refusal(one + "rest"), "goes on after its end"));
    CHECK(refusal(one + "\n<!-- made on the island -->\n") == "read");
    CHECK(says(refusal(one + std::string(1, '\0') + "<gpx>"), "zero byte"));
    CHECK(says(refusal(gpx(track(R"(<trkpt lat="56" lat="57" lon="3"/>)"))), "lat twice"));
}

// Where points stand: gpx.xsd, types gpxType, trkType, trksegType and rteType. `extensions` is free.
TEST_CASE("GPX points outside their place are refused, those in extensions are somebody else's") {
    const std::string good = track(k_a + k_b);
    for (const std::string& odd :
         {"<trk>" + k_a + "</trk>", "<trkseg>" + k_a + "</trkseg>", "<folder>" + good + "</folder>",
          std::string(R"(<trk><trkseg><rtept lat="56" lon="3"/></trkseg></trk>)"),
          std::string(R"(<rte><wpt lat="56" lon="3"/></rte>)"),
          std::string(R"(<rtept lat="56" lon="3"/>)")}) {
        CAPTURE(odd);
        CHECK(says(refusal(gpx(good + "\n" + odd)), "walk.x:2: "));
        CHECK(says(refusal(gpx(good + "\n" + odd)), "is not where GPX has it"));
    }
    CHECK(points_of(read(gpx(good + "<extensions>" + good + "</extensions>"))) == 2);
}

TEST_CASE("KML text broken by comments or CDATA is read to its end, and lines are counted in it") {
    const auto kml = [](const std::string& coordinates) {
        return "<kml><LineString><coordinates>" + coordinates + "</coordinates></LineString></kml>";
    };
    const auto line = read(kml("3,56 3,56.001\n<!-- ford -->\n3,56.002 <![CDATA[3,56.003]]>"));
    REQUIRE(points_of(line) == 4);
    CHECK(line.segments[0].points[1].source_line == 1);
    CHECK(line.segments[0].points[2].source_line == 3);
    std::string many;
    for (int i = 0; i < 500; ++i)
        many += "3,56\r\n";
    CHECK(says(refusal(kml(many + "3,x")), "walk.x:501: latitude \"x\""));
    CHECK(says(refusal("<kml><LineString><coordinates>3,56</coordinates><coordinates>3,57</coordinates>"
                       "</LineString></kml>"),
               "two lists"));
    const auto track_of =
        read("<kml><Track><coord> 3  56\t5 </coord><coord>3 56.001 6</coord></Track></kml>");
    CHECK(track_of.segments.at(0).points.at(0).position == geo::Position{3, 56});
    CHECK(track_of.segments[0].points[0].elevation_m == 5);
}

// RFC 7946: types by exact name (1.4), arrays where arrays belong (3.1, 3.2, 3.3), geometry null allowed
// (3.2).
TEST_CASE("GeoJSON with a part that is not GeoJSON is refused") {
    CHECK(says(refusal(beside_line(R"({"type":"linestring","coordinates":[[3,57],[3,57.1]]})")),
               "\"linestring\""));
    CHECK(says(refusal(beside_line("7")), "no GeoJSON object"));
    CHECK(says(refusal(beside_line(R"({"type":"MultiLineString","coordinates":null})")), "is not a list"));
    CHECK(says(refusal(R"({"type":"FeatureCollection","features":{"a":)" + k_line + "}}"), "is not a list"));
    CHECK(says(refusal(R"({"a":1})"), "no type"));
    CHECK(refusal(beside_line(R"({"type":"Feature","properties":null,"geometry":null})")) == "read");
    CHECK(says(refusal(R"({"type":"LineString","coordinates":[[3,56],[1e999,56]]})"), "too large: '1e999'"));
    CHECK(says(refusal(R"({"type":"LineString","coordinates":[[3,56],["3","56"]]})"), "position 2"));
}

// RFC 7946, section 4: the coordinate system is WGS 84; the `crs` of 2008 was taken out.
TEST_CASE("GeoJSON in another coordinate system is refused, WGS 84 by an old name is read") {
    const auto with_crs = [](const std::string& name) {
        return R"({"type":"LineString","crs":{"type":"name","properties":{"name":")" + name +
               R"("}},"coordinates":[[3,56],[3,56.001]]})";
    };
    CHECK(says(refusal(with_crs("urn:ogc:def:crs:EPSG::27700")), "27700"));
    CHECK(refusal(with_crs("urn:ogc:def:crs:OGC:1.3:CRS84")) == "read");
    CHECK(refusal(with_crs("EPSG:4326")) == "read");
}

TEST_CASE("areas beside a line are said to be left out; alone they are no route") {
    const std::string area = R"({"type":"Polygon","coordinates":[[[3,57],[3,57.001],[3.1,57],[3,57]]]})";
    CHECK(kinds(read(beside_line(area))) == std::vector{OddityKind::several_kinds});
    CHECK(says(refusal(area), "holds no LineString"));
    const std::string ring = "<Polygon><outerBoundaryIs><LinearRing><coordinates>3,57 3,57.001 3,57"
                             "</coordinates></LinearRing></outerBoundaryIs></Polygon>";
    const std::string line = "<LineString><coordinates>3,56 3,56.001</coordinates></LineString>";
    CHECK(kinds(read("<kml>" + line + ring + "</kml>")) == std::vector{OddityKind::several_kinds});
    CHECK(says(refusal("<kml>" + ring + "</kml>"), "holds no LineString"));
}

TEST_CASE("names are one line of valid UTF-8 that no terminal obeys") {
    const auto named = [](const std::string& name) {
        return read(gpx("<trk><name>" + name + "</name><trkseg>" + k_a + k_b + "</trkseg></trk>")).name;
    };
    CHECK(named("\n  North \t Head\n") == "North Head");
    CHECK(named("A<!-- x -->B<![CDATA[&C]]>") == "AB&C");
    CHECK(named("\x1B[31mred&#7;") == "[31mred");
    CHECK(named("S\xF8r") == "S\xEF\xBF\xBDr"); // U+FFFD for a byte that is no UTF-8 (Unicode, 3.9)
    CHECK(named("&#xD800;x").find('\xED') == std::string::npos); // a surrogate is no character
    CHECK(named("S\xC3\xB8r \xF0\x9F\xA5\xBE") == "S\xC3\xB8r \xF0\x9F\xA5\xBE");
    CHECK(named("&#xC0;") == "\xC3\x80");
    CHECK(named("\xC0\xAF") == "\xEF\xBF\xBD\xEF\xBF\xBD"); // overlong, the second byte stands alone
    CHECK(named(" \x01 ") == "walk");                       // nothing left: the file's stem
    CHECK(named(std::string(5000, 'x')).size() < 300);
}

TEST_CASE("an elevation that no ground has is unknown") {
    const auto elevation = [](const std::string& text) {
        return read(gpx(track("<trkpt lat=\"56\" lon=\"3\"><ele>" + text + "</ele></trkpt>" + k_b)))
            .segments.at(0)
            .points.at(0)
            .elevation_m;
    };
    CHECK(elevation("-430") == -430); // the shore of the Dead Sea, about; from memory
    CHECK(elevation("8849") == 8849); // the highest ground; from memory
    for (const char* no : {"-32768", "-9999", "32767", "1e9", "nan", "", "12m"})
        CHECK(!elevation(no));
}

TEST_CASE("oddities of segments, waypoints and lines without length") {
    // By hand: 56 N 3 E and 3 N 56 E are thousands of kilometres apart, and swapped the same place.
    const std::string far = R"(<trkpt lat="3" lon="56.001"/><trkpt lat="3" lon="56.002"/>)";
    CHECK(kinds(read(gpx(track(k_a + k_b) + track(far)))) ==
          std::vector{OddityKind::gap, OddityKind::swapped});
    const auto waypoint = read(gpx(R"(<wpt lat="3" lon="56"><name>Hut</name></wpt>)" + track(k_a + k_b)));
    REQUIRE(kinds(waypoint) == std::vector{OddityKind::swapped});
    CHECK(says(waypoint.oddities[0].text, "Hut"));
    CHECK(kinds(read(gpx(track(k_a + k_a)))) == std::vector{OddityKind::single_point});
    CHECK(kinds(read(gpx(track(k_a + R"(<trkpt lat="0.0001" lon="0.0001"/>)")))) ==
          std::vector{OddityKind::jump, OddityKind::null_island});
    // From a swapped point on to somewhere else altogether: the second leg is a jump of its own.
    CHECK(kinds(read(gpx(track(k_a + R"(<trkpt lat="3" lon="56"/><trkpt lat="58" lon="3"/>)")))) ==
          std::vector{OddityKind::swapped, OddityKind::jump});
}

TEST_CASE("a point given twice in a row is kept and adds no length") {
    const auto twice = read(gpx(track(k_a + k_a + k_b)));
    CHECK(points_of(twice) == 3);
    const auto along = route::metres_along(twice).at(0);
    CHECK(along.at(1) == 0);
    CHECK(along.at(2) > 100);
    CHECK(twice.oddities.empty());
}

TEST_CASE("what is written is read again, to the last digit") {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> lat(-90, 90), lon(-180, 180), height(-400, 8000);
    for (int round = 0; round < 200; ++round) {
        std::string as_gpx, as_json, as_kml;
        std::vector<route::RoutePoint> points(2 + random() % 20);
        for (auto& p : points) {
            p = {{lon(random), lat(random)}, height(random), 0};
            const auto& at = p.position;
            as_gpx += fmt::format("<trkpt lat=\"{}\" lon=\"{}\"><ele>{}</ele></trkpt>", at.lat_deg,
                                  at.lon_deg, *p.elevation_m);
            as_json += fmt::format("{}[{},{},{}]", as_json.empty() ? "" : ",", at.lon_deg, at.lat_deg,
                                   *p.elevation_m);
            as_kml += fmt::format("{},{},{}\n", at.lon_deg, at.lat_deg, *p.elevation_m);
        }
        for (const std::string& text :
             {gpx(track(as_gpx)), R"({"type":"LineString","coordinates":[)" + as_json + "]}",
              "<kml><LineString><coordinates>" + as_kml + "</coordinates></LineString></kml>"}) {
            const auto back = read(text).segments.at(0).points;
            REQUIRE(back.size() == points.size());
            for (std::size_t i = 0; i < points.size(); ++i) {
                CHECK(back[i].position == points[i].position);
                CHECK(back[i].elevation_m == points[i].elevation_m);
            }
        }
    }
}

TEST_CASE("a file cut short is refused, never read as a shorter route") {
    for (const std::string& whole :
         {gpx("<wpt lat=\"56\" lon=\"3\"/>" + track(k_a + k_b)), beside_line(k_line),
          std::string("<kml><Placemark><LineString><coordinates>3,56 3,56.001</coordinates></LineString>"
                      "</Placemark></kml>")})
        for (std::size_t length = 0; length < whole.size(); ++length) {
            CAPTURE(whole.substr(0, length));
            CHECK(refusal(whole.substr(0, length)) != "read");
        }
}

TEST_CASE("whatever bytes change in KML and in nested JSON, it is read or refused") {
    const std::string kml = "<kml><Placemark><name>A</name><LineString><coordinates>3,56 3,56.001"
                            "</coordinates></LineString></Placemark></kml>";
    std::mt19937 random(20270515);
    for (const std::string& text : {kml, beside_line(k_line)})
        for (int round = 0; round < 10'000; ++round) {
            std::string changed = text;
            for (int k = 0; k < 2; ++k)
                changed[random() % changed.size()] = static_cast<char>(random());
            refusal(changed); // anything thrown but DataError fails the test
        }
}

TEST_CASE("standard input, a file too large, a packed file") {
    std::istringstream input(gpx(track(k_a + k_b)));
    std::streambuf* const before = std::cin.rdbuf(input.rdbuf());
    const auto piped = route::read_file("-");
    std::cin.rdbuf(before);
    CHECK(points_of(piped) == 2);
    CHECK(piped.path == "-");
    namespace fs = std::filesystem;
    const fs::path large =
        fs::temp_directory_path() / ("waywarden-large-" + std::to_string(::getpid()) + ".gpx");
    std::ofstream(large) << "<gpx>";
    fs::resize_file(large, (512ull << 20) + 1); // takes no room on disk: a hole
    try {
        route::read_file(large.string());
        FAIL("read");
    } catch (const DataError& e) {
        CHECK(says(e.what(), "larger than 512 MiB"));
    }
    fs::remove(large);
    CHECK(says(refusal("PK\x03\x04 packed"), "unpack"));
    CHECK(says(refusal("\x1F\x8B\x08 packed"), "unpack"));
}
