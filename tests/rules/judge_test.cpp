#include "error.hpp"
#include "rules/evidence_grade.hpp"
#include "rules/library.hpp"
#include "rules/survey_kit.hpp"

#include <doctest/doctest.h>

using namespace waywarden;
using namespace rules_kit;
using rules::Finding;
using rules::Level;
using rules::Verdict;
using Texts = std::vector<std::string>;

namespace {

const std::string k_fast =
    R"({"access": "minor_road", "highway": "tertiary", "name": "Kirk Road", "right": "road", "speed_limit_kmh": 96.56,
        "speed_limit": "60 mph", "speed_limit_source": "recorded", "speed_unreadable": false, "pavement": null,
        "pavement_beside": false})";
const std::string k_lane =
    R"({"access": "minor_road", "highway": "unclassified", "name": "Ness Lane", "right": "road", "speed_limit_kmh": 96.56,
        "speed_limit": "60 mph", "speed_limit_source": "presumed", "speed_unreadable": false, "pavement": null,
        "pavement_beside": false})";
const std::string k_stream =
    R"({"of": "water", "access": "water", "waterway": "stream", "means": "none", "on_path": true, "tidal": false,
        "means_evidence": "nothing"})";

} // namespace

TEST_CASE("a walk on a recorded footpath over a fresh map finds nothing") {
    survey::Survey s = quiet_survey();
    add_stretch(s, 3000);
    CHECK(said(judged(s)) == Texts{});
    CHECK(rules::verdict_of(judged(s)) == Verdict::no_objection);
}

TEST_CASE("neighbouring stretches that fire become one finding, and the joined length decides the level") {
    survey::Survey s = quiet_survey();
    add_stretch(s, 30, k_fast);
    CHECK(said(judged(s)) == Texts{"fast-road-without-pavement:warning"});
    add_stretch(s, 40); // no more than join_within_m between
    add_stretch(s, 30, k_fast);
    const auto joined = judged(s);
    CHECK(said(joined) == Texts{"fast-road-without-pavement:error"});
    CHECK(joined.front().from_m == 0);
    CHECK(joined.front().to_m == 100);
    CHECK(joined.front().message == "60 m along Kirk Road, limit 60 mph; no pavement is recorded (recorded "
                                    "either way on an unknown share of similar roads nearby).");
    CHECK(joined.front().evidence.size() == 2);
    CHECK(joined.front().grade == rules::EvidenceGrade::inferred); // from a missing tag
    add_stretch(s, 60);
    add_stretch(s, 30, k_fast);
    CHECK(said(judged(s)) == Texts{"fast-road-without-pavement:error", "fast-road-without-pavement:warning"});
}

TEST_CASE("numbers that differ along a joined run are said as a range, unless one of them is not known") {
    const auto message_of = [](const std::string& second) {
        survey::Survey s = quiet_survey();
        add_stretch(s, 30, k_fast);
        set_facts(s.stretches.back().reading.facts,
                  R"({"speed_tagged_share": 43, "pavement_tagged_share": 60})");
        add_stretch(s, 30, k_fast);
        set_facts(s.stretches.back().reading.facts, second);
        return judged(s).at(0).message;
    };
    CHECK(message_of(R"({"pavement_tagged_share": 5})").find("on 5 % to 60 % of similar roads") !=
          std::string::npos);
    CHECK(message_of(R"({"pavement_tagged_share": 60})").find("on 60 % of similar roads") !=
          std::string::npos);
    CHECK(
        message_of(R"({"pavement_tagged_share": null})").find("on 60 %, an unknown share of similar roads") !=
        std::string::npos);
}

TEST_CASE("lanes whose limit is only presumed give at most two findings a route") {
    survey::Survey s = quiet_survey();
    for (int i = 0; i < 40; ++i) {
        add_stretch(s, i % 4 == 0 ? 600 : 200, k_lane);
        add_stretch(s, 500);
    }
    const auto findings = judged(s);
    REQUIRE(said(findings) == Texts{"lane-with-presumed-limit:warning", "lane-with-presumed-limit:note"});
    CHECK(findings[0].count == 10);
    CHECK(findings[1].count == 30);
    CHECK(findings[0].grade >= rules::EvidenceGrade::presumed);
    CHECK(findings[0].message.find("10 places, 6.0 km in all") != std::string::npos);
}

TEST_CASE("of two readings of the line the worse is judged, and both are named") {
    survey::Survey s = quiet_survey();
    auto& stretch = add_stretch(s, 400);
    stretch.reading.probability = 0.8;
    stretch.others.push_back(reading(k_fast, 0.2, 77));
    const auto findings = judged(s);
    REQUIRE(said(findings) == Texts{"fast-road-without-pavement:error"});
    CHECK(findings.front().cannot_tell);
    CHECK(findings.front().message ==
          "400 m along Kirk Road, limit 60 mph; no pavement is recorded (recorded either way on an unknown "
          "share of similar roads nearby). Cannot "
          "tell whether the line means Gull Path "
          "(way/100) or Kirk Road (way/77); judged by the worse.");
    add_stretch(s, 100, k_fast);
    CHECK(judged(s).front().message.find("For 400 m of it cannot tell whether") != std::string::npos);
    s.stretches.pop_back();
    s.stretches.front().others.front().probability = 0.04;
    CHECK(said(judged(s)) == Texts{});
}

TEST_CASE("a milder other reading does not count") {
    survey::Survey s = quiet_survey();
    auto& stretch = add_stretch(s, 400, k_fast);
    stretch.others.push_back(reading("{}", 0.4, 77));
    const auto findings = judged(s);
    REQUIRE(said(findings) == Texts{"fast-road-without-pavement:error"});
    CHECK(!findings.front().cannot_tell);
}

TEST_CASE("entries of one place are one finding by the worst; notes that crowd are gathered") {
    survey::Survey s = quiet_survey();
    add_stretch(s, 9000);
    add_crossing(s, 100, 1, k_stream);
    add_crossing(s, 110, 1, k_stream);
    add_crossing(s, 3000, 2, k_stream);
    auto findings = judged(s);
    CHECK(said(findings) == Texts{"stream-with-no-way-over:note", "stream-with-no-way-over:note"});
    CHECK(findings.front().evidence.size() == 2);
    add_crossing(s, 3400, 3, k_stream);
    add_crossing(s, 4000, 4, k_stream);
    findings = judged(s);
    REQUIRE(said(findings) == Texts{"stream-with-no-way-over:note", "stream-with-no-way-over:note"});
    CHECK(findings[1].count == 3);
    CHECK(findings[1].from_m == 3000);
    CHECK(findings[1].to_m == 4000);
    CHECK(findings[1].message.find("3 places, at km 3.0, 3.4, 4.0.") != std::string::npos);
}

TEST_CASE("errors are never gathered") {
    survey::Survey s = quiet_survey();
    add_stretch(s, 1000);
    for (int i = 0; i < 4; ++i)
        set_facts(add_crossing(s, 100 * i, i + 1, k_stream).facts, R"({"waterway": "river"})");
    CHECK(said(judged(s)) == Texts(4, "water-with-no-way-over:error"));
}

TEST_CASE("an unknown that makes a rule fire is named") {
    survey::Survey s = quiet_survey();
    add_stretch(s, 1000);
    add_crossing(s, 10, 1,
                 R"({"of": "water", "access": "water", "means": "none", "waterway": null, "on_path": true})");
    const auto findings = judged(s);
    REQUIRE(said(findings) == Texts{"water-with-no-way-over:error"});
    CHECK(findings.front().grade == rules::EvidenceGrade::unknown);
    CHECK(findings.front().message.find("Not recorded: waterway.") != std::string::npos);
}

TEST_CASE("what cannot be vouched for outranks objections, which outrank cautions") {
    survey::Survey s = quiet_survey();
    add_stretch(s, 30, k_fast);
    CHECK(rules::verdict_of(judged(s)) == Verdict::cautions);
    add_stretch(s, 300, k_fast);
    CHECK(rules::verdict_of(judged(s)) == Verdict::objections);
    add_spot(s, 10, 20, R"({"kind": "off_map", "length_m": 10, "within": true})");
    CHECK(rules::verdict_of(judged(s)) == Verdict::cannot_vouch);
}

TEST_CASE("findings stand in order of the walk, the gravest first at one place") {
    survey::Survey s = quiet_survey();
    add_stretch(s, 100);
    add_stretch(s, 100, R"({"tidal": true, "trail_visibility": "bad"})");
    add_spot(s, 50, 50, R"({"kind": "gap", "length_m": 30})");
    const auto findings = judged(s);
    CHECK(said(findings) ==
          Texts{"gap-in-the-line:warning", "covered-by-the-tide:error", "path-hard-to-see:note"});
    CHECK(findings.front().message ==
          "The line breaks off for 30 m; what lies between was judged as if they went straight.");
}

TEST_CASE("a set of one's own changes and leaves out") {
    const TemporaryFile file(
        "own.json", R"({"format": "waywarden-rules", "version": 1, "name": "skerry", "title": "Skerry",
        "builds_on": ["walking-core"], "leave_out": ["gap-in-the-line"],
        "change": {"path-hard-to-see": {"level": "error", "grade": []}}})");
    survey::Survey s = quiet_survey();
    add_stretch(s, 100, R"({"trail_visibility": "bad"})");
    add_spot(s, 50, 50, R"({"kind": "gap", "length_m": 30})");
    CHECK(said(judged(s)) == Texts{"path-hard-to-see:note", "gap-in-the-line:warning"});
    CHECK(said(judged(s, "youth-expedition", {file.path})) == Texts{"path-hard-to-see:error"});
    const Texts own{file.path};
    const rules::Judge judge("club-walk", own, quiet_region());
    Texts names;
    for (const rules::SetName& set : judge.sets())
        names.push_back(set.name);
    CHECK(names == Texts{"time-and-light", "walking-core", "club-walk", "skerry"});
    CHECK(judge.party() == "club-walk");
}

TEST_CASE("the party decides what is too hard") {
    survey::Survey s = quiet_survey();
    add_stretch(s, 100, R"({"sac_scale": "demanding_mountain_hiking", "sac_grade": 3})");
    CHECK(said(judged(s, "youth-expedition")) == Texts{"path-too-hard:error"});
    CHECK(said(judged(s, "club-walk")) == Texts{"path-at-the-limit:note"});
}

TEST_CASE("recent needs a check date of the last two years, not an edit") {
    survey::Survey s = quiet_survey(); // 30 days after 1 May 2026
    auto& stretch = add_stretch(s, 100, R"({"tidal": true})");
    stretch.reading.evidence.edited_s = 1777593600; // 1 May 2026
    CHECK(judged(s).front().grade == rules::EvidenceGrade::explicit_tag);
    stretch.reading.evidence.tags = {{"check_date", "2024-06-15"}};
    CHECK(judged(s).front().grade == rules::EvidenceGrade::explicit_recent);
    stretch.reading.evidence.tags = {{"survey:date", "2024-04"}};
    CHECK(judged(s).front().grade == rules::EvidenceGrade::explicit_tag);
    stretch.reading.evidence.tags = {{"check_date", "2024-06-15"}};
    s.route_facts.set_unknown("map_date");
    CHECK(judged(s).front().grade == rules::EvidenceGrade::explicit_tag);
    CHECK(rules::date_s("1970-01-02") == 86400); // POSIX.1: 86 400 s a day since 1970
    CHECK(!rules::date_s("2026-02-30"));
    CHECK(!rules::date_s("last week"));
}

TEST_CASE("the same survey gives the same findings") {
    survey::Survey s = quiet_survey();
    for (int i = 0; i < 20; ++i)
        add_stretch(s, 100 + i, i % 3 ? k_lane : k_fast);
    const auto once = judged(s), again = judged(s);
    REQUIRE(once.size() == again.size());
    for (std::size_t i = 0; i < once.size(); ++i)
        CHECK(once[i].message == again[i].message);
}

namespace {

const char* const k_leg_set = R"({
"format": "waywarden-rules", "version": 1, "name": "skerry-legs", "title": "Legs on Skerry Island",
"rules": [
{ "id": "long-leg", "title": "A long leg", "level": "warning", "about": "leg",
"when": { "fact": "walking_min", "above": 90 },
"if_unknown": "note",
"message": "{from} to {to}: {walking_min} min",
"message_unknown": "{from} to {to}: no walking time",
"advice": "Put a checkpoint between.",
"grounds": [ { "common_practice": true, "text": "teams are looked for by their legs" } ],
"examples": [ { "facts": { "walking_min": 91, "from": "A", "to": "B" }, "gives": "warning" },
{ "facts": { "walking_min": null, "from": "A", "to": "B" }, "gives": "note" },
{ "facts": { "walking_min": 90, "from": "A", "to": "B" }, "gives": null } ] } ] }
)";

void add_leg(survey::Survey& survey, const char* from, double from_m, const char* to, double to_m,
             const std::string& facts) {
    survey::Leg leg;
    leg.number = static_cast<int>(survey.legs.legs.size()) + 1;
    leg.from = {from, {-1.5, 56.25}, from_m, 0};
    leg.to = {to, {-1.4, 56.25}, to_m, 0};
    leg.length_m = to_m - from_m;
    leg.facts.set("from", std::string(from));
    leg.facts.set("to", std::string(to));
    set_facts(leg.facts, facts);
    survey.legs.legs.push_back(leg);
}

} // namespace

TEST_CASE("a rule about legs judges each leg for itself, and names its ends") {
    survey::Survey s = quiet_survey();
    add_stretch(s, 9000);
    add_leg(s, "Kirk", 0, "Ness", 4000, R"({"walking_min": 95})");
    add_leg(s, "Ness", 4000, "Skerry", 6000, R"({"walking_min": 90})");
    add_leg(s, "Skerry", 6000, "Quay", 9000, R"({"walking_min": null})");
    const TemporaryFile file("legs.json", k_leg_set);
    const auto findings = judged(s, "youth-expedition", {file.path});
    REQUIRE(said(findings) == Texts{"long-leg:warning", "long-leg:note"});
    CHECK(findings[0].message == "Kirk to Ness: 95 min.");
    CHECK(findings[0].from_m == 0);
    CHECK(findings[0].to_m == 4000);
    CHECK(findings[1].message.find("Skerry to Quay: no walking time.") == 0);
    CHECK(findings[1].from_m == 6000);
    CHECK(findings[1].to_m == 9000);
}
