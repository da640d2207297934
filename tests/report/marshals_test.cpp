#include "report/marshals.hpp"
#include "report/write.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>
#include <pugixml.hpp>

#include <algorithm>
#include <iterator>
#include <sstream>

using namespace waywarden;
using namespace waywarden::test;
using report::Call;

namespace {

/// A road crossed at grade as the survey tells it; words that are empty are unknown.
survey::Crossing road(double limit_kmh, const std::string& grade, const std::string& facility,
                      const std::string& highway) {
    survey::Crossing out;
    out.at_m = 700;
    out.place = 1;
    out.position = {3.001, 56.002};
    out.access = map::Access::minor_road;
    out.osm = {map::ObjectType::way, 12};
    out.name = "Harbour Lane";
    out.means = survey::Means::level;
    if (limit_kmh > 0) {
        out.facts.set("speed_limit_kmh", limit_kmh);
        out.facts.set("speed_limit_source", std::string("recorded"));
    }
    out.facts.set("sight_grade", grade);
    if (!facility.empty()) out.facts.set("facility", facility);
    if (!highway.empty()) out.facts.set("highway", highway);
    out.facts.set("cross_time_s", 30.0);
    return out;
}

report::Post only_post(const survey::Crossing& crossing, int walkers = 300) {
    Assessment assessment = sample();
    assessment.walkers = walkers;
    assessment.group_size = 30;
    assessment.routes[0].survey.crossings = {crossing};
    assessment.routes[0].survey.stretches = {stretch(0, 1234.5678, map::Access::footpath, 11)};
    const auto sheet = report::marshal_sheet(assessment.routes[0], assessment);
    REQUIRE(sheet.posts.size() == 1);
    return sheet.posts.front();
}

std::string written(void (*write)(const Assessment&, std::ostream&), const Assessment& assessment) {
    std::ostringstream out;
    write(assessment, out);
    return out.str();
}

} // namespace

// The rule is common practice, no source; it is printed on every sheet (marshal_rule()).
TEST_CASE("when marshals are called for at a road") {
    const std::string none = "none_recorded", lane = "unclassified";
    CHECK(only_post(road(96, "good", none, lane)).call == Call::needed);             // fast
    CHECK(only_post(road(0, "good", none, lane)).call == Call::needed);              // unknown counts as fast
    CHECK(only_post(road(48, "good", none, "secondary")).call == Call::needed);      // a main road
    CHECK(only_post(road(48, "short", none, lane)).call == Call::needed);            // sees too little
    CHECK(only_post(road(48, "caution", none, lane)).call == Call::advised);         //
    CHECK(only_post(road(48, "unknown", none, lane)).call == Call::look_first);      // unknown is not good
    CHECK(only_post(road(48, "good", none, lane)).call == Call::advised);            // many come
    CHECK(only_post(road(48, "good", none, lane), 20).call == Call::not_called_for); // few come
    CHECK(only_post(road(48, "short", "signals", "primary")).call == Call::advised); // signals, and slow
    CHECK(only_post(road(96, "short", "signals", "primary")).call == Call::needed);  // signals on a fast road
    CHECK(only_post(road(96, "below_stopping", none, lane)).call == Call::do_not_cross);
    CHECK(only_post(road(0, "unknown", "", "")).call == Call::needed);
    survey::Crossing over = road(96, "below_stopping", none, "primary");
    over.means = survey::Means::bridge;
    CHECK(only_post(over).call == Call::not_called_for);
    survey::Crossing unbuilt = road(96, "below_stopping", none, "primary");
    unbuilt.facts.set("lifecycle", std::string("construction"));
    CHECK(only_post(unbuilt).call == Call::look_first);
    survey::Crossing motorway = road(112, "good", "signals", "motorway");
    motorway.access = map::Access::motorway;
    CHECK(only_post(motorway).call == Call::do_not_cross);
}

TEST_CASE("railways and water") {
    const auto call = [](survey::CrossingOf of, survey::Means means, const char* protection) {
        survey::Crossing crossing = road(0, "unknown", "", "");
        crossing.of = of;
        crossing.means = means;
        if (*protection) crossing.facts.set("rail_protection", std::string(protection));
        return only_post(crossing).call;
    };
    using survey::CrossingOf, survey::Means;
    CHECK(call(CrossingOf::rail, Means::level, "barriers") == Call::needed);
    CHECK(call(CrossingOf::rail, Means::level, "none_recorded") == Call::do_not_cross);
    CHECK(call(CrossingOf::rail, Means::level, "") == Call::do_not_cross); // unknown is no crossing
    CHECK(call(CrossingOf::rail, Means::tunnel, "") == Call::not_called_for);
    CHECK(call(CrossingOf::water, Means::bridge, "") == Call::not_called_for);
    CHECK(call(CrossingOf::water, Means::ford, "") == Call::needed);
    CHECK(call(CrossingOf::water, Means::none, "") == Call::look_first);
}

TEST_CASE("what is not known is said, in every place of the sheet") {
    const report::Post post = only_post(road(0, "unknown", "", ""));
    CHECK(post.limit == "not known");
    CHECK(post.facility == "not known");
    CHECK(post.sight.find("not known") != std::string::npos);
    CHECK(post.time.find("for all of them not known") != std::string::npos); // no fact says how long
    Assessment assessment = sample();
    const auto sheet = report::marshal_sheet(assessment.routes[0], assessment);
    CHECK(sheet.party.find("nobody said how many walk") != std::string::npos);
    CHECK(sheet.places_words.size() == 9); // of nothing any is recorded
}

TEST_CASE("what could not be checked is a place of its own") {
    Assessment assessment = sample();
    assessment.routes[0].findings[1].blocks_vouching = true;
    const auto sheet = report::marshal_sheet(assessment.routes[0], assessment);
    const auto is_unchecked = [](const report::Post& post) {
        return post.kind == "not_checked" && post.call == Call::look_first;
    };
    CHECK(std::count_if(sheet.posts.begin(), sheet.posts.end(), is_unchecked) == 1);
}

TEST_CASE("the table has no empty cell and nothing that a spreadsheet would reckon with") {
    Assessment assessment = sample();
    assessment.routes[0].route.name = "=1+1";
    assessment.routes[0].survey.places = {
        {"toilets", "+Quay", 10, 5, {3.0, 56.0}, {map::ObjectType::node, 7}}};
    std::istringstream lines(written(report::write_marshals_csv, assessment));
    std::string line;
    std::size_t rows = 0;
    while (std::getline(lines, line)) {
        CHECK(line.back() == '\r');
        CHECK_MESSAGE(line.find(",,") == std::string::npos, line);
        CHECK(line.front() != ',');
        CHECK(line.front() != '=');
        ++rows;
    }
    CHECK(rows > 4);
}

TEST_CASE("the waypoints are those of the sheet") {
    Assessment assessment = sample();
    pugi::xml_document document;
    REQUIRE(document.load_string(written(report::write_marshals_gpx, assessment).c_str()));
    const auto sheet = report::marshal_sheet(assessment.routes[0], assessment);
    const auto waypoints = document.child("gpx").children("wpt");
    CHECK(static_cast<std::size_t>(std::distance(waypoints.begin(), waypoints.end())) ==
          sheet.posts.size() + sheet.vehicles.size() + sheet.places.size());
    CHECK(std::string(document.child("gpx").child("wpt").child_value("desc"))
              .find("no power to stop traffic") != std::string::npos);
}

TEST_CASE("every form of the sheet says what marshals may not do") {
    const Assessment assessment = sample();
    for (const auto write :
         {report::write_marshals_text, report::write_marshals_html, report::write_marshals_gpx}) {
        const std::string text = written(write, assessment);
        CHECK(text.find("no power") != std::string::npos);
        CHECK(text.find("Three Bays") != std::string::npos);
    }
}
