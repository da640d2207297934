#include "report/accepted.hpp"
#include "report/compare.hpp"
#include "report/fingerprint.hpp"
#include "report/geo_shapes.hpp"
#include "report/sample.hpp"
#include "report/sha256.hpp"
#include "report/write.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>
#include <pugixml.hpp>

#include <sstream>

using namespace waywarden;
using Json = nlohmann::json;

namespace {

template <typename Writer> std::string written(Writer write, const Assessment& assessment) {
    std::ostringstream out;
    write(assessment, out);
    return out.str();
}

Assessment blocked() {
    Assessment out = test::sample();
    out.routes[0].findings[0].blocks_vouching = true;
    out.routes[0].verdict = rules::verdict_of(out.routes[0].findings);
    return out;
}

report::AcceptedFinding accepted_of(const rules::Finding& finding) {
    report::AcceptedFinding out;
    out.finding = finding;
    out.route = "Three Bays";
    out.party = "youth-expedition";
    out.acceptance = {"leader", "seen", "2026-07-21"}; // the day the sample is judged for
    return out;
}

} // namespace

TEST_CASE("SHA-256 of the examples") { // FIPS 180-4 examples, NIST CSRC "Example Values", from memory;
                                       // sha256sum agrees
    CHECK(report::sha256("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    CHECK(report::sha256("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(report::sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    CHECK(report::sha256(std::string(1000000, 'a')) ==
          "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST_CASE("CSV: RFC 4180, and no cell is a formula") { // OWASP, "CSV Injection"
    Assessment odd = test::sample();
    odd.routes[0].route.name = "=HYPERLINK(\"x\"),1";
    odd.routes[0].findings.resize(1);
    odd.routes[0].findings[0].title = "\t=1+1";
    odd.routes[0].findings[0].message = "line\nbreak, \"quoted\"";
    odd.routes[0].findings[0].advice = "  -2+3";
    odd.routes[0].findings[0].position = {-3.001, -56.002};
    const std::string text = written(report::write_csv, odd);
    CHECK(text.find("\r\n\"'=HYPERLINK(\"\"x\"\"),1\",1,note,") != std::string::npos);
    CHECK(text.find(",' =1+1,") != std::string::npos);
    CHECK(text.find(",-56.0020000,-3.0010000,") != std::string::npos); // numbers stay numbers
    CHECK(text.find("\"line break, \"\"quoted\"\"\"") != std::string::npos);
    CHECK(text.find(",'  -2+3,") != std::string::npos);
    CHECK(std::count(text.begin(), text.end(), '\n') == 2);
}

TEST_CASE("GPX: what XML 1.0 forbids is dropped, 180 degrees is written as -180") { // XML 1.0, 2.2; gpx.xsd
    Assessment odd = test::sample();
    odd.routes[0].route.name = "a\x01 <b> & \"c\" ]]> \xEF\xBF\xBE"
                               "d";
    odd.routes[0].route.segments = {{{{{180, 56}, 3.25, 0}, {{179.99999999, 56}, {}, 0}}}};
    const std::string text = written(report::write_gpx, odd);
    pugi::xml_document read;
    REQUIRE(read.load_string(text.c_str()));
    const pugi::xml_node track = read.child("gpx").child("trk");
    CHECK(std::string(track.child_value("name")) == "a <b> & \"c\" ]]> d");
    CHECK(std::string(track.child("trkseg").child("trkpt").attribute("lon").value()) == "-180.0000000");
    CHECK(std::string(track.child("trkseg").last_child().attribute("lon").value()) == "-180.0000000");
    CHECK(text.find('\x01') == std::string::npos);
    CHECK(std::string(read.child("gpx").child("wpt").child_value("name")) == "1 Along a fast road");
}

TEST_CASE("lines are cut at the antimeridian") { // RFC 7946, 3.1.9 and 5.2
    const auto cut = report::cut_at_antimeridian({{{179, 10}, {-179, 12}, {-178, 12}}});
    REQUIRE(cut.size() == 2);
    CHECK(cut[0].back() == geo::Position{180, 11});
    CHECK(cut[1].front() == geo::Position{-180, 11});
    CHECK(cut[1].size() == 3);
    const auto back = report::cut_at_antimeridian({{{-179, 0}, {179, 0}}});
    REQUIRE(back.size() == 2);
    CHECK(back[0].back().lon_deg == -180);
    CHECK(back[1].front().lon_deg == 180);
    const auto box = report::box_around({{179, 10}, {-179, 12}});
    REQUIRE(box);
    CHECK(box->west_deg == 179);
    CHECK(box->east_deg == -179);
    const auto plain = report::box_around({{-3, 10}, {4, 12}});
    CHECK(plain->west_deg == -3);
    CHECK(plain->east_deg == 4);
    CHECK(!report::box_around({}));
}

TEST_CASE("a finding's line is that part of the walk") {
    survey::StretchSurvey one, two, after_gap;
    one.to_m = 100;
    one.line = {{{0, 50}, 0, map::k_no_node}, {{1, 50}, 100, map::k_no_node}};
    two.from_m = 100;
    two.to_m = 200;
    two.line = {{{1, 50}, 100, map::k_no_node}, {{1, 51}, 200, map::k_no_node}};
    after_gap.from_m = 200;
    after_gap.to_m = 300;
    after_gap.line = {{{5, 50}, 200, map::k_no_node}, {{6, 50}, 300, map::k_no_node}};
    const auto lines = report::line_between({one, two, after_gap}, 50, 250);
    REQUIRE(lines.size() == 2);
    CHECK(lines[0] == report::Line{{0.5, 50}, {1, 50}, {1, 51}});
    CHECK(lines[1] == report::Line{{5, 50}, {5.5, 50}});
}

TEST_CASE("SARIF: kind, level, place in the file") { // SARIF 2.1.0, 3.27.9, 3.27.10, 3.27.23
    Assessment given = blocked();
    given.routes[0].route.segments = {{{{{3, 56}, {}, 7}, {{3.001, 56}, {}, 8}, {{3.02, 56}, {}, 12}}}};
    given.routes[0].findings[1].message = "[a](b) {0}";
    const Json run = Json::parse(written(report::write_sarif, given))["runs"][0];
    CHECK(run["results"][0]["kind"] == "open");
    CHECK(run["results"][0]["level"] == "none");
    CHECK(run["results"][0]["properties"]["level"] == "note");
    CHECK(run["invocations"][0]["toolExecutionNotifications"].size() == 1);
    CHECK(run["results"][1]["kind"] == "fail");
    CHECK(run["results"][1]["level"] == "error");
    CHECK(run["results"][1]["message"]["text"] == "\\[a\\](b) {{0}} To do: Ask for a way round.");
    const Json region = run["results"][1]["locations"][0]["physicalLocation"]["region"];
    CHECK(region["startLine"] == 8);
    CHECK(region["endLine"] == 12);
    CHECK(!run["results"][0].contains("suppressions"));
    CHECK(!run["results"][0].contains("baselineState"));
}

TEST_CASE("a fingerprint outlives new words, tags and levels, and names one rule, place and set of objects") {
    const rules::Finding one = test::finding(rules::Level::error, 10, 20, "A");
    rules::Finding other = test::finding(rules::Level::note, 50, 70, "B");
    other.evidence[0].tags = {{"highway", "primary"}};
    other.message = "other";
    CHECK(report::fingerprint(one) == report::fingerprint(other));
    CHECK(report::same_place(one, other));
    other.position.lat_deg += 0.00044; // 49 m: a minute of latitude is about 1855 m at 56 degrees
    CHECK(report::same_place(one, other));
    other.position.lat_deg += 0.00002; // 51 m
    CHECK(!report::same_place(one, other));
    other = one;
    other.evidence[0].osm.id = 13;
    CHECK(!report::same_place(one, other));
    CHECK(report::fingerprint(one) != report::fingerprint(other));
    other = one;
    other.rule = "ford";
    CHECK(!report::same_place(one, other));
}

TEST_CASE("an acceptance holds for one finding, for a time, and only while nothing gets worse") {
    const rules::Finding finding = test::sample().routes[0].findings[1];
    const auto verdict = [&](const report::AcceptedFinding& one, Assessment given = test::sample()) {
        report::apply_accepted(given, {one});
        return given.routes[0].verdict;
    };
    Assessment alone = test::sample();
    alone.routes[0].findings = {finding};
    CHECK(verdict(accepted_of(finding), alone) == rules::Verdict::no_objection);
    Assessment later = alone;
    later.date_s += 86400;
    CHECK(verdict(accepted_of(finding), later) == rules::Verdict::objections);
    Assessment other_party = alone;
    other_party.party = "charity-walk";
    CHECK(verdict(accepted_of(finding), other_party) == rules::Verdict::objections);
    Assessment changed = alone;
    changed.routes[0].findings[0].evidence[0].tags[1].second = "70 mph";
    CHECK(verdict(accepted_of(finding), changed) == rules::Verdict::objections);
    Assessment longer = alone;
    longer.routes[0].findings[0].to_m += 51;
    CHECK(verdict(accepted_of(finding), longer) == rules::Verdict::objections);
    Assessment never = alone;
    never.routes[0].findings[0].blocks_vouching = true;
    CHECK(verdict(accepted_of(finding), never) == rules::Verdict::cannot_vouch);
    Assessment twice = alone; // two of a kind at one place: one of them was accepted
    twice.routes[0].findings.push_back(finding);
    twice.routes[0].findings[1].from_m += 30;
    CHECK(verdict(accepted_of(finding), twice) == rules::Verdict::objections);
}

TEST_CASE("acceptances that cover nothing are told in every report that a leader reads") {
    using Because = UnusedAcceptance::Because;
    const auto unused = [](Assessment given, const report::AcceptedFinding& one) {
        report::apply_accepted(given, {one});
        return given;
    };
    Assessment alone = test::sample();
    alone.routes[0].findings.erase(alone.routes[0].findings.begin());
    const rules::Finding finding = alone.routes[0].findings[0];
    CHECK(unused(alone, accepted_of(finding)).routes[0].unused_acceptances.empty());

    report::AcceptedFinding gone = accepted_of(finding);
    gone.finding.rule = "another-rule";
    gone.finding.title = "A <locked> gate";
    Assessment expired = alone;
    expired.date_s += 86400;
    Assessment blocks = alone;
    blocks.routes[0].findings[0].blocks_vouching = true;
    Assessment worse = alone;
    worse.routes[0].findings[0].to_m += 51;
    report::AcceptedFinding elsewhere = gone;
    elsewhere.route = "Two Bays";
    CHECK(unused(alone, elsewhere).routes[0].unused_acceptances.empty()); // of another route

    const std::tuple<Assessment, report::AcceptedFinding, Because, const char*, const char*> cases[] = {
        {alone, gone, Because::nothing_there, "nothing_there", "no longer found there"},
        {expired, gone, Because::nothing_there, "nothing_there", "no longer found there, and it has expired"},
        {expired, accepted_of(finding), Because::expired, "expired", "it has expired"},
        {blocks, accepted_of(finding), Because::cannot_be_accepted, "cannot_be_accepted",
         "what could not be checked cannot be accepted"},
        {worse, accepted_of(finding), Because::changed, "changed", "long then"}};
    for (const auto& [given, one, because, code, words] : cases) {
        CAPTURE(words);
        const Assessment told = unused(given, one);
        REQUIRE(told.routes[0].unused_acceptances.size() == 1);
        CHECK(told.routes[0].unused_acceptances[0].because == because);
        const auto wide = [](const Assessment& a, std::ostream& out) {
            report::write_text(a, out, {false, 1000});
        };
        const std::string text = written(wide, told), page = written(report::write_html, told);
        const auto section = text.find("Acceptances that cover nothing now");
        REQUIRE(section != std::string::npos);
        CHECK(text.find(words, section) != std::string::npos);
        CHECK(text.find("accepted by leader until 21 July 2026 (seen)", section) != std::string::npos);
        const auto heading = page.find("Acceptances that cover nothing now</h3>");
        REQUIRE(heading != std::string::npos);
        CHECK(page.find(words, heading) != std::string::npos);
        CHECK(page.find("<locked>") == std::string::npos);
        const Json json = Json::parse(written(report::write_json, told))["routes"][0]["unused_acceptances"];
        REQUIRE(json.size() == 1);
        CHECK(json[0]["because"] == code);
        CHECK(json[0]["title"] == one.finding.title);
    }
    const auto plain_text = [](const Assessment& a, std::ostream& out) { report::write_text(a, out); };
    CHECK(written(plain_text, alone).find("cover nothing now") == std::string::npos);
}

TEST_CASE("an acceptance that a newer one took the place of is not told of") {
    Assessment given = test::sample();
    const rules::Finding finding = given.routes[0].findings[1];
    report::AcceptedFinding old = accepted_of(finding);
    old.acceptance.until = "2025-01-01";
    CHECK(report::apply_accepted(given, {old, accepted_of(finding)}).empty());
    CHECK(given.routes[0].unused_acceptances.empty());
    CHECK(given.routes[0].findings[1].accepted);
    CHECK(given.routes[0].findings[1].acceptance_lapsed.empty());
}

TEST_CASE("what a result had and this one has not is absent and counts for nothing") {
    const Assessment before = test::sample();
    Assessment now = test::sample();
    now.routes[0].findings = {before.routes[0].findings[2], before.routes[0].findings[2]};
    now.routes[0].findings[1].rule = "ford";
    now.routes[0].verdict = rules::Verdict::cautions;
    CHECK(report::compare(now, before).empty());
    CHECK(now.routes[0].findings[0].state == rules::State::unchanged);
    CHECK(now.routes[0].findings[1].state == rules::State::fresh);
    CHECK(now.routes[0].absent.size() == 2);
    CHECK(now.routes[0].verdict == rules::Verdict::cautions);
}
