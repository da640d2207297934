#include "surveyed.hpp"

#include <doctest/doctest.h>

using namespace waywarden;
using namespace waywarden::test;

namespace {

/// 200 m of path with a gate in its middle, from a start on; "" gives none.
survey::Survey walked(const std::string& path, const std::string& gate, const std::string& start) {
    const Sketch map("A . G . B", 25, {"w1 Thighway=path" + path + " NAGB", "nG Tbarrier=gate" + gate});
    survey::Given given;
    if (!start.empty())
        given.timetable = {geo::read_time(start).value(), survey::Pace{4, 15}, "Europe/London"};
    return survey::survey(map.route_of("1:AGB"), map.ground(), map.trace("1:AGB"), region::load("england"),
                          k_today_s, given);
}

survey::Facts path(const std::string& tags, const std::string& start) {
    return walked(tags, "", start).stretches.at(0).reading.facts;
}

survey::Facts gate(const std::string& tags, const std::string& start) {
    return spot(walked("", tags, start), "gate").facts;
}

const std::string k_lambing = ",foot=permissive,foot:conditional=no%20%@%20%(Mar%20%01-May%20%31)";

} // namespace

TEST_CASE("a way is closed when they pass, or open, and its right is that of the time") {
    const auto closed = path(k_lambing, "2027-05-15T09:30");
    CHECK(closed.flag("closed_then") == true);
    CHECK(closed.text("right") == "forbidden");
    CHECK(closed.flag("passing_time_known") == true);
    CHECK(closed.text("passes_at").starts_with("2027-05-15 between 09:30 and 09:"));
    CHECK(closed.text("conditional_words").starts_with("foot:conditional=no @ (Mar 01-May 31)"));
    const auto open = path(k_lambing, "2027-06-15T09:30");
    CHECK(open.flag("closed_then") == false);
    CHECK(open.text("right") == "permissive");
    CHECK(path(k_lambing, "2027-05-15").flag("closed_then") == true); // closed all that day
}

TEST_CASE("without a start, or on a condition that cannot be told, nobody knows") {
    const auto no_start = path(k_lambing, "");
    CHECK_FALSE(no_start.flag("closed_then"));
    CHECK(no_start.flag("passing_time_known") == false);
    CHECK(no_start.text("right") == "unknown");
    const auto wet = path(",foot=yes,foot:conditional=no%20%@%20%wet", "2027-05-15T09:30");
    CHECK_FALSE(wet.flag("closed_then"));
    CHECK(wet.flag("passing_time_known") == true);
    CHECK(wet.text("conditional_words").find("\"wet\" depends on the weather") != std::string::npos);
    // a date without a time of day does not tell whether they come by night
    CHECK_FALSE(
        path(",foot=yes,foot:conditional=no%20%@%20%(sunset-sunrise)", "2027-05-15").flag("closed_then"));
}

TEST_CASE("what says nothing of times is not closed") {
    CHECK(path("", "2027-05-15T09:30").flag("closed_then") == false);
    CHECK(path("", "").flag("closed_then") == false);
    CHECK(path(",motor_vehicle:conditional=no%20%@%20%wet", "2027-05-15T09:30").flag("closed_then") == false);
    CHECK(gate("", "").flag("closed_then") == false);
}

TEST_CASE("a gate with opening hours") {
    CHECK(gate(",opening_hours=08:00-18:00", "2027-05-15T09:30").flag("closed_then") == false);
    CHECK(gate(",opening_hours=08:00-18:00", "2027-05-15T18:30").flag("closed_then") == true);
    // 17:50 on they pass from 17:51 to 18:08
    CHECK_FALSE(gate(",opening_hours=08:00-18:00", "2027-05-15T17:50").flag("closed_then"));
    CHECK(gate(",access:conditional=no%20%@%20%(20:00-08:00)", "2027-05-15T06:00").flag("closed_then") ==
          true);
    CHECK(gate(",access:conditional=no%20%@%20%(20:00-08:00)", "2027-05-15T06:00").text("right") ==
          "forbidden");
}

TEST_CASE("a gate closed at the time bars the way with it") {
    const auto shut = walked("", ",access:conditional=no%20%@%20%(20:00-08:00)", "2027-05-15T06:00");
    CHECK(shut.stretches.at(0).reading.facts.text("right") == "forbidden");
    const auto open = walked("", ",access:conditional=no%20%@%20%(20:00-08:00)", "2027-05-15T09:00");
    CHECK(open.stretches.at(0).reading.facts.text("right") == "presumed");
}
