#include "report/leg_words.hpp"
#include "report/sample.hpp"
#include "report/words.hpp"
#include "report/write.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <sstream>

using namespace waywarden;

namespace {

survey::Leg leg(int number, const std::string& from, double from_m, const std::string& to, double to_m) {
    survey::Leg out;
    out.number = number;
    out.from = {from, {3.0, 56.0}, from_m, 0};
    out.to = {to, {3.01, 56.01}, to_m, 12};
    out.length_m = to_m - from_m;
    out.straight_m = 1200;
    out.bearing_grid_deg = 28.9;
    out.leaving_grid_deg = 359.7;
    out.by_access = {{map::Access::footpath, 500}, {map::Access::minor_road, 200}, {map::Access::byway, 1}};
    out.escapes = {{"Harbour Lane", map::Access::minor_road, from_m + 100},
                   {"", map::Access::major_road, from_m + 300}};
    return out;
}

/// One leg of which everything is known, and one of which nothing is that can be unknown.
Assessment two_legs() {
    Assessment out = test::sample();
    survey::LegTable& table = out.routes[0].survey.legs;
    table.legs = {leg(1, "Stone Quay", 0, "Kirk", 700), leg(2, "Kirk", 700, "Ness", 1234.5678)};
    survey::Leg& known = table.legs[0];
    known.grid_magnetic_angle_deg = -1.5;
    known.ascent_m = 35.4;
    known.descent_m = 0;
    known.walking_min = 75;
    known.rest_min = 10;
    known.leaves = geo::read_time("2027-05-15T09:30").value().at;
    known.arrives = *known.leaves + std::chrono::seconds(5099); // 84.98 min
    table.checkpoints_from = "waypoints of the file";
    table.magnetic_by = "World Magnetic Model 2025, 15 May 2027.";
    table.heights_from = "the file's own elevations.";
    table.time_by = "4 km/h";
    table.remarks = {"Lookout is 340 m from the line."};
    return out;
}

template <typename Write> std::string written(const Assessment& assessment, Write write) {
    std::ostringstream out;
    write(assessment, out);
    return out.str();
}

std::string text_of(const Assessment& assessment) {
    return written(assessment, [](const Assessment& a, std::ostream& out) { report::write_text(a, out); });
}

std::string csv_line(const std::string& csv, int number) {
    std::istringstream in(csv);
    std::string line;
    for (int i = 0; i <= number; ++i)
        std::getline(in, line);
    return line;
}

bool has(const std::string& text, const std::string& what) {
    return text.find(what) != std::string::npos;
}

} // namespace

TEST_CASE("the words of a leg") {
    const Assessment all = two_legs();
    const auto& [known, unknown] =
        std::pair{all.routes[0].survey.legs.legs[0], all.routes[0].survey.legs.legs[1]};
    CHECK(report::bearing_words(report::bearing_of(known)) == "029");
    CHECK(report::bearing_words(report::magnetic_bearing_of(known)) == "030"); // 28.9 + 1.5
    CHECK(report::bearing_words(report::magnetic_bearing_of(unknown)) == "–");
    CHECK(report::bearing_words(known.leaving_grid_deg) == "000"); // 359.7
    CHECK(report::minutes_words(75) == "1 h 15");
    CHECK(report::minutes_words(59.6) == "1 h 00");
    CHECK(report::minutes_words({}) == "–");
    CHECK(report::clock_words(known.arrives) == "10:55"); // to the nearest minute
    CHECK(report::underfoot_words(known) == "footpath 500 m, minor road 200 m");
    CHECK(report::escapes_words(known) == "Harbour Lane (km 0.1), unnamed major road (km 0.3)");
}

TEST_CASE("sums are unknown where one leg's figure is") {
    auto table = two_legs().routes[0].survey.legs;
    CHECK_FALSE(report::sums_of(table).ascent_m.has_value());
    table.legs[1].ascent_m = 4.6;
    CHECK(report::sums_of(table).ascent_m == doctest::Approx(40));
}

TEST_CASE("text: one row of figures a leg, unknown ones as a dash, nothing wider than 100 columns") {
    Assessment all = two_legs();
    const std::string text = text_of(all);
    CHECK(has(text, "1. Stone Quay to Kirk\n"));
    CHECK(has(text, "0.7    35     0   029   030   1 h 15   10:55\n"));
    CHECK(has(text, "0.5     –     –   029     –        –       –\n"));
    CHECK(has(text, "Lookout is 340 m from the line."));
    all.routes[0].survey.legs.legs[0].from.name = std::string(120, 'x');
    std::istringstream in(text_of(two_legs()));
    for (std::string line; std::getline(in, line);)
        CHECK_MESSAGE(report::columns(line) <= 100, line);
}

TEST_CASE("text: no table where nothing parts the walk, but what lies off the line is told") {
    Assessment all = test::sample();
    CHECK_FALSE(has(text_of(all), "Legs"));
    all.routes[0].survey.legs.remarks = {"Lookout is 340 m from the line."};
    CHECK(has(text_of(all), "Lookout is 340 m from the line."));
}

// RFC 4180, 2.1 (CRLF) and 2.6; OWASP, "CSV Injection".
TEST_CASE("CSV of legs: empty where unknown, no cell is a formula") {
    Assessment all = two_legs();
    all.routes[0].survey.legs.legs[0].from.name = "=1+1";
    all.routes[0].survey.legs.legs[1].to.name = "Ness, \"the\" point";
    const std::string csv = written(all, report::write_legs_csv);
    CHECK(csv_line(csv, 0).find("route,leg,from,from_grid_ref,to,to_grid_ref,from_m,to_m,length_m") == 0);
    CHECK(csv_line(csv, 1).find("Three Bays,1,'=1+1,") == 0);
    CHECK(
        has(csv_line(csv, 1), ",0.00,700.00,700.00,1200.00,35.4,0.0,029,030,000,001,75.0,10.0,09:30,10:55,"));
    CHECK(has(csv_line(csv, 2), ",\"Ness, \"\"the\"\" point\","));
    CHECK(has(csv_line(csv, 2), ",1200.00,,,029,,000,,,,,,"));
    CHECK(csv_line(csv, 2).ends_with('\r'));
}

TEST_CASE("JSON of legs: null where unknown, numbers as read") {
    const auto json = nlohmann::json::parse(written(two_legs(), report::write_json));
    const auto& legs = json["routes"][0]["legs"];
    REQUIRE(legs.size() == 2);
    CHECK(legs[0]["from"] == "Stone Quay");
    CHECK(legs[0]["bearing_grid_deg"] == 28.9);
    CHECK(legs[0]["bearing_magnetic_deg"] == 30.4);
    CHECK(legs[0]["leaves"] == "2027-05-15T09:30");
    CHECK(legs[0]["arrives"] == "2027-05-15T10:55");
    CHECK(legs[0]["walking_min"] == 75);
    CHECK(legs[0]["escapes"][1]["access"] == "major_road");
    for (const char* name : {"ascent_m", "descent_m", "bearing_magnetic_deg", "leaving_magnetic_deg",
                             "walking_min", "rest_min", "leaves", "arrives"}) {
        CAPTURE(name);
        CHECK(legs[1][name].is_null());
    }
    CHECK(json["routes"][0]["legs_by"]["checkpoints"] == "waypoints of the file");
}

TEST_CASE("HTML of legs: names cannot end a tag, unknown is a dash") {
    Assessment all = two_legs();
    all.routes[0].survey.legs.legs[0].from.name = "</td><script>bad()</script>";
    all.routes[0].survey.legs.legs[0].escapes[0].name = "<b>\"";
    all.routes[0].survey.legs.remarks = {"<i>"};
    const std::string page = written(all, report::write_html);
    CHECK_FALSE(has(page, "<script>bad()"));
    CHECK_FALSE(has(page, "<b>"));
    CHECK_FALSE(has(page, "<i>"));
    CHECK(has(page, "data-what=\"grid bearing\">029</td>"));
    CHECK(has(page, "data-what=\"up, m\">–</td>"));
    CHECK(has(page, "Ways out: Harbour Lane (km 0.8), unnamed major road (km 1.0)."));
}
