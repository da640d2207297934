#include "error.hpp"
#include "route/read.hpp"
#include "route/text.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <fstream>
#include <random>

namespace {

using namespace waywarden;
using route::OddityKind;

/// A GPX 1.1 file around some content; element names and ranges are those of gpx.xsd (topografix, GPX 1.1).
std::string gpx(const std::string& inside) {
    return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"test\" "
           "xmlns=\"http://www.topografix.com/GPX/1/1\">\n" +
           inside + "\n</gpx>\n";
}

std::string point(double lat, double lon, const std::string& name = "trkpt") {
    return "<" + name + " lat=\"" + std::to_string(lat) + "\" lon=\"" + std::to_string(lon) + "\"/>\n";
}

std::string track(const std::string& points) {
    return "<trk><trkseg>" + points + "</trkseg></trk>";
}

std::string refusal(const std::string& bytes) {
    try {
        route::read_text(bytes, "walk.gpx");
    } catch (const DataError& e) {
        return e.what();
    }
    return "read";
}

std::vector<OddityKind> kinds(const route::Route& route) {
    std::vector<OddityKind> out;
    for (const auto& oddity : route.oddities)
        out.push_back(oddity.kind);
    return out;
}

std::string utf16(const std::string& text, bool big_endian) {
    std::string out = big_endian ? "\xFE\xFF" : "\xFF\xFE";
    for (const char c : text) {
        if (big_endian) out += '\0';
        out += c;
        if (!big_endian) out += '\0';
    }
    return out;
}

} // namespace

TEST_CASE("tracks, else routes, else waypoints") {
    const std::string waypoint = "<wpt lat=\"56\" lon=\"3\"><name>Gull Stone</name><ele>12.5</ele></wpt>";
    const std::string rte = "<rte><name>Day 1</name><rtept lat=\"56\" "
                            "lon=\"3\"><name>Start</name></rtept><rtept lat=\"56.001\" lon=\"3\"/></rte>";
    const auto as_track =
        route::read_text(gpx(waypoint + track(point(56, 3) + point(56.001, 3)) + rte), "a.gpx");
    CHECK(as_track.read_as == "track");
    REQUIRE(as_track.waypoints.size() == 2); // the named route point is a checkpoint beside the track
    CHECK(as_track.waypoints[0].name == "Gull Stone");
    CHECK(as_track.waypoints[0].elevation_m == 12.5);
    CHECK(as_track.oddities.empty()); // the route has the same points as the track
    const auto as_route = route::read_text(gpx(waypoint + rte), "a.gpx");
    CHECK(as_route.read_as == "route");
    CHECK(as_route.name == "Day 1");
    CHECK(as_route.waypoints.size() == 2); // the named route point is a checkpoint
    const auto as_waypoints = route::read_text(gpx(waypoint + waypoint), "a.gpx");
    CHECK(as_waypoints.read_as == "waypoints");
    CHECK(as_waypoints.segments.at(0).points.size() == 2);
    CHECK(as_waypoints.name == "a");
}

TEST_CASE("named route points are checkpoints, also beside a track; one that is a waypoint too counts once") {
    const auto named = [](double lat, const char* name) {
        return "<rtept lat=\"" + std::to_string(lat) + "\" lon=\"3\"><name>" + name + "</name></rtept>";
    };
    const std::string kirk = "<wpt lat=\"56.001\" lon=\"3\"><name>Kirk</name></wpt>",
                      inn = "<wpt lat=\"56.002\" lon=\"3\"><name>Inn</name></wpt>";
    const std::string rte =
        "<rte>" + named(56, "Quay") + named(56.001, "Kirk") + named(56.003, "Ness") + "</rte>";
    const auto names = [](const route::Route& route) {
        std::string out;
        for (const auto& one : route.waypoints)
            out += one.name + " ";
        return out;
    };
    CHECK(names(route::read_text(gpx(kirk + inn + rte), "a.gpx")) == "Inn Quay Kirk Ness ");
    CHECK(names(route::read_text(gpx(inn + track(point(56, 3) + point(56.001, 3) + point(56.003, 3)) + rte),
                                 "a.gpx")) == "Inn Quay Kirk Ness ");
}

TEST_CASE("a track beside a different route: the file says two things, and so does the result") {
    const auto both = route::read_text(
        gpx(track(point(56, 3) + point(56.001, 3)) + "<rte>" + point(56, 3.002, "rtept") + "</rte>"),
        "a.gpx");
    CHECK(both.read_as == "track");
    CHECK(kinds(both) == std::vector{OddityKind::several_kinds});
}

TEST_CASE("any namespace prefix, any of the usual encodings") {
    const std::string prefixed =
        "<?xml version=\"1.0\"?><g:gpx xmlns:g=\"http://www.topografix.com/GPX/1/0\" version=\"1.0\"><g:trk>"
        "<g:name>Up</g:name><g:trkseg><g:trkpt lat=\"56\" lon=\"3\"><g:ele>7</g:ele></g:trkpt>"
        "<g:trkpt lat=\"56.001\" lon=\"3\"/></g:trkseg></g:trk></g:gpx>";
    const auto plain = route::read_text(prefixed, "a.gpx");
    CHECK(plain.name == "Up");
    CHECK(plain.segments.at(0).points.at(0).elevation_m == 7);
    CHECK(route::read_text("\xEF\xBB\xBF" + prefixed, "a.gpx").segments.at(0).points.size() == 2);
    CHECK(route::read_text(utf16(prefixed, true), "a.gpx").name == "Up");
    CHECK(route::read_text(utf16(prefixed, false), "a.gpx").name == "Up");
    // ISO-8859-1: 0xF8 is U+00F8, in UTF-8 C3 B8 (Unicode's table of ISO 8859-1).
    const std::string latin =
        "<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?><gpx><trk><name>S\xF8r</name><trkseg>" +
        point(56, 3) + point(56.001, 3) + "</trkseg></trk></gpx>";
    CHECK(route::read_text(latin, "a.gpx").name == "S\xC3\xB8r");
}

TEST_CASE("refusals say file, line, what and what to do") {
    CHECK(refusal("") == "walk.gpx: is empty; export the route again");
    CHECK(refusal(gpx("")) == "walk.gpx: holds no points; draw a track or a route and export it again");
    CHECK(refusal(gpx(track("\n\n<trkpt lat=\"abc\" lon=\"3\"/>"))) ==
          "walk.gpx:5: latitude \"abc\" is not a number; write it in decimal degrees");
    CHECK(refusal(gpx(track("<trkpt lat=\"12abc\" lon=\"3\"/>"))).find("\"12abc\" is not a number") !=
          std::string::npos);
    CHECK(refusal(gpx(track("<trkpt lat=\"nan\" lon=\"3\"/>"))).find("is not a number") != std::string::npos);
    CHECK(refusal(gpx(track("<trkpt lat=\"1e999\" lon=\"3\"/>"))).find("is not a number") !=
          std::string::npos);
    CHECK(refusal(gpx(track("<trkpt lat=\"91\" lon=\"200\"/>")))
              .find("latitude 91 is out of range; it must lie") != std::string::npos);
    CHECK(refusal(gpx(track("<trkpt lat=\"103.1\" lon=\"56\"/>"))).find("may have been swapped") !=
          std::string::npos);
    CHECK(refusal(gpx(track("<trkpt lat=\"56\"/>"))).find("a point has no lon") != std::string::npos);
    CHECK(refusal("<gpx>\n<trk>\n<trkseg></trk></gpx>").find("walk.gpx:3: not well-formed XML") !=
          std::string::npos);
    CHECK(refusal("PK\x03\x04 something").find("is no route") != std::string::npos);
    CHECK(refusal("<html><body/></html>").find("is no route") != std::string::npos);
    CHECK(refusal("{\"type\":\"LineString\",\n\"coordinates\":[[3,56],[3,56.1]")
              .find("walk.gpx:2: not well-formed JSON") != std::string::npos);
    CHECK(refusal("{\"type\":\"LineString\",\"coordinates\":[[3,56],[3]]}").find("position 2 of the file") !=
          std::string::npos);
    CHECK(refusal(std::string(100000, '[')).find("nested") != std::string::npos);
    CHECK_THROWS_AS(route::read_file("/no/such/file.gpx"), DataError);
    CHECK_THROWS_AS(route::read_file("/"), DataError);
}

TEST_CASE("deep XML and entities harm nobody") {
    std::string deep = "<kml>";
    for (int i = 0; i < 20000; ++i)
        deep += "<Folder>";
    CHECK(refusal(deep).find("not well-formed") != std::string::npos);
    for (int i = 0; i < 20000; ++i)
        deep += "</Folder>";
    CHECK(refusal(deep + "</kml>").find("holds no LineString") != std::string::npos);
    const std::string bomb = "<?xml version=\"1.0\"?><!DOCTYPE gpx [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b "
                             "\"&a;&a;&a;&a;&a;&a;\">]><gpx><trk><name>&b;</name><trkseg>" +
                             point(56, 3) + point(56.001, 3) + "</trkseg></trk></gpx>";
    CHECK(route::read_text(bomb, "a.gpx").name.size() < 10);
}

TEST_CASE("GeoJSON by RFC 7946: lines, collections, elevation, named points") {
    const auto line =
        route::read_text(R"({"type":"LineString","coordinates":[[3,56,10],[3,56.001]]})", "a.json");
    CHECK(line.format == route::Format::geojson);
    CHECK(line.segments.at(0).points.at(0).position == geo::Position{3, 56});
    CHECK(line.segments.at(0).points.at(0).elevation_m == 10);
    const auto collection = route::read_text(
        R"({"type":"FeatureCollection","features":[
            {"type":"Feature","properties":{"name":"Shore"},"geometry":{"type":"MultiLineString","coordinates":[[[3,56],[3,56.001]],[[3,56.002],[3,56.003]]]}},
            {"type":"Feature","properties":{"name":"Hut"},"geometry":{"type":"Point","coordinates":[3,56]}},
            {"type":"Feature","properties":null,"geometry":null}]})",
        "a.json");
    CHECK(collection.segments.size() == 2);
    CHECK(collection.name == "Shore");
    CHECK(collection.waypoints.at(0).name == "Hut");
}

TEST_CASE("KML 2.2: coordinates are lon,lat[,alt]") {
    const auto line = route::read_text(
        R"(<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Folder><Placemark><name>Ridge</name><MultiGeometry>
        <LineString><coordinates>3,56,5 3,56.001,6
        3,56.002</coordinates></LineString></MultiGeometry></Placemark>
        <Placemark><name>Cairn</name><Point><coordinates>3,56</coordinates></Point></Placemark></Folder></Document></kml>)",
        "a.kml");
    CHECK(line.format == route::Format::kml);
    CHECK(line.name == "Ridge");
    CHECK(line.segments.at(0).points.size() == 3);
    CHECK(line.segments.at(0).points.at(1).elevation_m == 6);
    CHECK(line.waypoints.at(0).name == "Cairn");
    CHECK(refusal("<kml><LineString><coordinates>3,x</coordinates></LineString></kml>")
              .find("\"x\" is not a number") != std::string::npos);
}

TEST_CASE("gaps are named and never walked") {
    const auto two =
        route::read_text(gpx("<trk><trkseg>" + point(56, 3) + point(56.001, 3) + "</trkseg><trkseg>" +
                             point(56.003, 3) + point(56.004, 3) + "</trkseg></trk>"),
                         "a.gpx");
    REQUIRE(kinds(two) == std::vector{OddityKind::gap});
    // 0.002 degrees of latitude at 56 N are 222.7 m (WGS 84, checked with PROJ's geod).
    CHECK(two.oddities[0].length_m == doctest::Approx(222.7).epsilon(0.001));
    CHECK(two.oddities[0].from_m == two.oddities[0].to_m);
    CHECK(route::metres_along(two).back().back() == doctest::Approx(222.7).epsilon(0.001));
    auto joined =
        route::read_text(gpx("<trk><trkseg>" + point(56, 3) + point(56.001, 3) + "</trkseg><trkseg>" +
                             point(56.001, 3) + point(56.002, 3) + "</trkseg></trk>"),
                         "a.gpx");
    CHECK(joined.oddities.empty());
    CHECK(joined.segments.size() == 2); // as it was read
    route::join_segments(joined);
    REQUIRE(joined.segments.size() == 1);
    CHECK(joined.segments[0].points.size() == 3);
}

TEST_CASE("odd lines are reported") {
    CHECK(kinds(route::read_text(gpx(track(point(56, 3) + point(56.03, 3))), "a")) ==
          std::vector{OddityKind::jump});
    CHECK(kinds(route::read_text(gpx(track(point(56, 3) + point(56.004, 3))), "a")) ==
          std::vector{OddityKind::straight});
    CHECK(kinds(route::read_text(gpx(track(point(56, 3) + point(56.0019, 3))), "a")).empty());
    CHECK(kinds(route::read_text(gpx(track(point(56, 3))), "a")) == std::vector{OddityKind::single_point});
    const auto zero = kinds(route::read_text(gpx(track(point(56, 3) + point(0, 0) + point(56.001, 3))), "a"));
    CHECK(std::count(zero.begin(), zero.end(), OddityKind::null_island) == 1);
    CHECK(kinds(route::read_text(gpx(track(point(56, 3) + point(3, 56) + point(56.001, 3))), "a")) ==
          std::vector{OddityKind::swapped});
}

TEST_CASE("numbers are decimal and know no locale") {
    CHECK(route::number(" 12.5 ") == 12.5);
    CHECK(route::number("+3") == 3);
    CHECK(route::number("-0.25") == -0.25);
    for (const char* bad : {"", " ", "12,5", "12abc", "nan", "inf", "0x10", "--1", "+-1", "1 2"})
        CHECK(!route::number(bad));
}

TEST_CASE("whatever is cut off or changed, a file is read or refused") {
    const std::string whole =
        gpx("<wpt lat=\"56\" lon=\"3\"><name>A</name></wpt>" + track(point(56, 3) + point(56.001, 3.001)));
    const std::string json =
        R"({"type":"Feature","properties":{"name":"x"},"geometry":{"type":"LineString","coordinates":[[3,56],[3.1,56.2]]}})";
    std::mt19937 random(1);
    for (const std::string& text : {whole, json, utf16(whole, false)}) {
        for (std::size_t i = 0; i < text.size(); ++i)
            refusal(text.substr(0, i));
        for (int round = 0; round < 5000; ++round) {
            std::string changed = text;
            for (int k = 0; k < 3; ++k)
                changed[random() % changed.size()] = static_cast<char>(random());
            refusal(changed); // throws anything but DataError: the test fails
        }
    }
}

TEST_CASE("a million points are read") {
    std::string points;
    for (int i = 0; i < 1'000'000; ++i)
        points += "<trkpt lat=\"56." + std::to_string(100000 + i % 900000) + "\" lon=\"3\"/>\n";
    CHECK(route::read_text(gpx(track(points)), "a.gpx").segments.at(0).points.size() == 1'000'000);
}
