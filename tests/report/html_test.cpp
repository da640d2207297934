#include "report/html_text.hpp"
#include "report/sample.hpp"
#include "report/write.hpp"

#include <doctest/doctest.h>

#include <regex>
#include <set>
#include <sstream>

using namespace waywarden;

namespace {

std::string page(const Assessment& assessment) {
    std::ostringstream out;
    report::write_html(assessment, out);
    return out.str();
}

std::size_t times(const std::string& text, const std::string& what) {
    std::size_t out = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1))
        ++out;
    return out;
}

/// The text between two marks, the first time.
std::string between(const std::string& text, const std::string& from, const std::string& to) {
    const std::size_t begin = text.find(from) + from.size();
    return text.substr(begin, text.find(to, begin) - begin);
}

const std::string k_hostile =
    "</title></style></script><script>bad()</script><img src=x onerror=bad()>\"'&\x1b]0;\xff";

} // namespace

TEST_CASE("base 64 as in RFC 4648, section 10") {
    CHECK(report::base64("") == "");
    CHECK(report::base64("f") == "Zg==");
    CHECK(report::base64("fo") == "Zm8=");
    CHECK(report::base64("foo") == "Zm9v");
    CHECK(report::base64("foobar") == "Zm9vYmFy");
    // Worked example of CSP level 3, section 8.3: "alert('Hello, world.');"
    CHECK(report::policy_hash("alert('Hello, world.');") ==
          "sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng=");
}

TEST_CASE("text of a page cannot end or begin a tag") {
    CHECK(report::html("a<b>&\"'") == "a&lt;b&gt;&amp;&quot;&#39;");
    CHECK(report::html("line\nbreak\x1b[1m") == "line break\xEF\xBF\xBD[1m");
    Assessment hostile = test::sample();
    hostile.party = hostile.region = k_hostile;
    hostile.sources[0].path = hostile.routes[0].route.path = hostile.routes[0].route.name = k_hostile;
    hostile.routes[0].region_note = k_hostile;
    hostile.routes[0].survey.stretches[0].reading.name = k_hostile;
    hostile.routes[0].survey.crossings[0].name = k_hostile;
    hostile.routes[0].survey.not_seen = {k_hostile};
    for (rules::Finding& one : hostile.routes[0].findings) {
        one.title = one.message = one.advice = one.grounds[0] = k_hostile;
        one.evidence[0].tags = {{k_hostile, k_hostile}};
        one.accepted = rules::Acceptance{k_hostile, k_hostile, k_hostile};
    }
    hostile.routes[0].map_picture.lines.resize(survey::k_picture_classes);
    hostile.routes[0].map_picture.names = {
        {k_hostile, survey::PictureName::Of::place, {3.001, 56.002}, 1, 90}};
    const std::string text = page(hostile);
    CHECK(times(text, "<script") == 1);
    CHECK(times(text, "</style>") == 1);
    CHECK(times(text, "<img") == 0);
    CHECK(times(text, "bad()&lt;/script&gt;") > 10);
    CHECK(text.find('\x1b') == std::string::npos);
    CHECK(text.find('\xff') == std::string::npos);
}

TEST_CASE("the page allows the style and the script it holds, by hash, and nothing else") {
    const std::string text = page(test::sample());
    const std::string policy = between(text, "Content-Security-Policy\" content=\"", "\"");
    CHECK(policy == "default-src 'none'; style-src '" +
                        report::policy_hash(between(text, "<style>", "</style>")) + "'; script-src '" +
                        report::policy_hash(between(text, "<script>", "</script>")) +
                        "'; img-src data:; base-uri 'none'; form-action 'none'");
    const std::string body = text.substr(text.find("<body>"), text.find("<script>") - text.find("<body>"));
    CHECK(body.find(" style=") == std::string::npos); // the policy would drop it
    CHECK(body.find("http:") == std::string::npos);
    CHECK(body.find("https:") == std::string::npos);
    CHECK(body.find(" src=") == std::string::npos);
    CHECK_FALSE(std::regex_search(between(text, "<style>", "</style>"), std::regex("@import|url\\((?!#)")));
}

TEST_CASE("every id is there once, and every link within the page leads somewhere") {
    const std::string text = page(test::sample());
    std::set<std::string> ids;
    const std::regex id(" id=\"([^\"]+)\""), link("href=\"#([^\"]+)\"");
    for (std::sregex_iterator at(text.begin(), text.end(), id), end; at != end; ++at)
        CHECK_MESSAGE(ids.insert((*at)[1]).second, (*at)[1].str());
    std::size_t links = 0;
    for (std::sregex_iterator at(text.begin(), text.end(), link), end; at != end; ++at, ++links)
        CHECK_MESSAGE(ids.contains((*at)[1]), (*at)[1].str());
    CHECK(links > 10);
}

TEST_CASE("findings stand in order of the walk with the numbers of every report") {
    const std::string text = page(test::sample());
    // By weight: the error (km 0.70) is 1, the warning (km 0.01) 2, the note (km 0.10) 3.
    const auto warning = text.find("id=\"r1-f2\""), note = text.find("id=\"r1-f3\""),
               error = text.find("id=\"r1-f1\"");
    CHECK(warning < note);
    CHECK(note < error);
    CHECK(error != std::string::npos);
    CHECK(text.find(">OBJECTIONS<") < text.find("id=\"r1-map\"")); // the verdict first
    CHECK(text.find("way/12 highway=secondary, maxspeed=60 mph (edited 19 July 2022)") != std::string::npos);
    CHECK(text.find("The Highway Code, rules 1, 2 and 5 (DfT/DVSA)") != std::string::npos);
    CHECK(text.find("© OpenStreetMap contributors") != std::string::npos);
}

TEST_CASE("a place on the map is where its grid reference says") {
    // 55 N 3 E lies on the central meridian of UTM zone 31: easting 500 000 m by definition.
    Assessment assessment = test::sample();
    for (survey::StretchSurvey& stretch : assessment.routes[0].survey.stretches)
        for (match::TracePoint& point : stretch.line)
            point.position.lat_deg -= 1;
    for (rules::Finding& one : assessment.routes[0].findings)
        one.position.lat_deg -= 1;
    const std::string text = page(assessment);
    const std::string view = between(text, "viewBox=\"", "\"");
    const std::string sign = between(text, "<a id=\"r1-m1\"", "</a>");
    std::istringstream in(view), place(between(sign, "translate(", ")"));
    int x = 0, y = 0, wide = 0, high = 0, sign_x = 0, sign_y = 0;
    in >> x >> y >> wide >> high;
    place >> sign_x >> sign_y;
    CHECK(x < sign_x);
    CHECK(sign_x < x + wide);
    CHECK(times(text, "class=\"gridnumber\">00<") > 0); // easting 500 km
    // From 3 E to 3.001 E at 55 N are 64.0 m (a degree of longitude there: 63 996 m, WGS 84 ellipsoid).
    CHECK(sign_x % 1000 == 64);
}

TEST_CASE("a route with little known of it still makes a page") {
    Assessment bare = test::sample();
    bare.sources.clear();
    bare.routes[0].survey = {};
    bare.routes[0].findings.clear();
    bare.routes[0].verdict = rules::Verdict::cannot_vouch;
    const std::string text = page(bare);
    CHECK(text.find("CANNOT VOUCH") != std::string::npos);
    CHECK(text.find("A clean report is not an approval") != std::string::npos);
    CHECK_FALSE(std::regex_search(text, std::regex("[^a-z](nan|inf)[^a-z]")));
}

TEST_CASE("a line that jumps over the globe, or over 180 degrees, still makes a page, and soon") {
    for (const geo::Position far :
         {geo::Position{-3.0, -56.0}, geo::Position{179.9, 56.0}, geo::Position{-177.0, 89.9}}) {
        Assessment wild = test::sample();
        wild.routes[0].survey.stretches[1].line = {{{179.9, 56.0}, 700.005, map::k_no_node},
                                                   {far, 1.5e7, map::k_no_node}};
        wild.routes[0].survey.length_m = 1.5e7;
        const std::string text = page(wild);
        CHECK(text.size() < 400'000);
        CHECK_FALSE(std::regex_search(text, std::regex("[^a-z](nan|inf)[^a-z]")));
    }
}

TEST_CASE("contours are drawn under the ways, with their interval and where they are from") {
    Assessment assessment = test::sample();
    CHECK(page(assessment).find("class=\"k-contour") == std::string::npos);
    survey::MapPicture& picture = assessment.routes[0].map_picture;
    picture.lines.resize(survey::k_picture_classes);
    picture.lines[static_cast<std::size_t>(survey::PictureClass::wood)] = {
        {{3.0, 56.0}, {3.01, 56.0}, {3.0, 56.001}, {3.0, 56.0}}};
    picture.lines[static_cast<std::size_t>(survey::PictureClass::path)] = {{{3.0, 56.0}, {3.01, 56.0}}};
    picture.reach_m = 400;
    picture.contour_step_m = 10;
    picture.heights_known = 0.9;
    picture.heights_words = "heights from <b>hills</b>.tif";
    picture.contours = {{40, false, {{3.0, 56.0005}, {3.01, 56.0005}}},
                        {50, true, {{3.0, 56.001}, {3.01, 56.001}}}};
    survey::PictureName figure;
    figure.text = "50";
    figure.of = survey::PictureName::Of::contour;
    figure.at = {3.005, 56.001};
    picture.names = {figure};
    const std::string text = page(assessment), land = between(text, "id=\"r1-land\"", "id=\"r1-route\"");
    CHECK(times(land, "class=\"k-contour") == 2);
    CHECK(land.find("k-wood") < land.find("k-contour"));
    CHECK(land.find("k-contour") < land.find("k-path"));
    CHECK(text.find("n-contour\">50</text>") != std::string::npos);
    CHECK(text.find("height, every 10 m; thick: every 50 m") != std::string::npos);
    CHECK(text.find("heights from &lt;b&gt;hills&lt;/b&gt;.tif, which do not cover all of the map") !=
          std::string::npos);
    CHECK(text.find("Contours every 10 m.") != std::string::npos);
}

TEST_CASE("heights make a profile with the findings on it; without them there is none") {
    Assessment assessment = test::sample();
    CHECK(page(assessment).find("class=\"profile\"") == std::string::npos);
    route::Segment segment;
    segment.points = {{{3.0, 56.0}, 12.0, 0}, {{3.01, 56.0}, 148.0, 0}, {{3.0198, 56.0}, 90.0, 0}};
    assessment.routes[0].route.segments = {segment};
    const std::string text = page(assessment);
    const std::string profile = between(text, "class=\"profile\"", "</svg>");
    CHECK(profile.find("between 0 and 150 m") != std::string::npos);
    CHECK(times(profile, "<g class=\"s ") == 3);
}

TEST_CASE("the same input gives the same bytes; several routes stand on one page") {
    Assessment assessment = test::sample();
    CHECK(page(assessment) == page(assessment));
    assessment.routes.push_back(assessment.routes[0]);
    assessment.not_read = {{"broken.gpx", "broken.gpx:3: <tag> is not closed"}};
    const std::string text = page(assessment);
    CHECK(text.find("id=\"r2-map\"") != std::string::npos);
    CHECK(text.find("COULD NOT BE READ") != std::string::npos);
    CHECK(text.find("&lt;tag&gt; is not closed") != std::string::npos);
    std::ostringstream summary;
    report::write_summary_html(assessment, summary);
    CHECK(times(summary.str(), "<script") == 1); // its own, that sorts
    CHECK(summary.str().find("<a href=\"a") == std::string::npos);
    std::ostringstream linked;
    report::write_summary_html(assessment, {"a & b", "a%2"}, linked);
    CHECK(linked.str().find("<a href=\"a%20%26%20b.html\">") != std::string::npos);
    CHECK(linked.str().find("<a href=\"a%252.html\">") != std::string::npos);
    CHECK(times(summary.str(), "<th scope=\"row\">") == 3);
}
