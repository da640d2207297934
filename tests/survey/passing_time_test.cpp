#include "map/conditional.hpp"
#include "survey/passing_time.hpp"

#include <doctest/doctest.h>

using namespace waywarden;
using survey::Timetable;

namespace {

/// 4 km/h and a quarter of an hour's rest in an hour: figures that are easy to reckon by hand.
Timetable timetable(const char* start, std::optional<survey::Pace> pace = survey::Pace{4, 15}) {
    return {geo::read_time(start).value(), pace, "Europe/London"};
}

std::string passing(const Timetable& table, double from_m, double to_m) {
    const auto when = survey::passing(table, from_m, to_m, {2.1, 55.7});
    return when ? map::words_of(*when) : "unknown";
}

} // namespace

// Worked by hand from the words in passing_time.hpp: 4 km take 60 min, at the earliest 48, at the latest
// 60 * 1.25 * 1.25 + 15 = 109 (108.75).
TEST_CASE("from the earliest to the latest") {
    const Timetable table = timetable("2027-05-15T09:30");
    CHECK(passing(table, 0, 0) == "2027-05-15 between 09:30 and 09:45");
    CHECK(passing(table, 4000, 4000) == "2027-05-15 between 10:18 and 11:18");
    CHECK(passing(table, 0, 4000) == "2027-05-15 between 09:30 and 11:18");
    const auto exact = survey::passing(table, 4000, 4000, {2.1, 55.7});
    CHECK(exact->to - exact->from == std::chrono::seconds(3645));
    CHECK(exact->position == geo::Position{2.1, 55.7});
}

TEST_CASE("what is not told stays wide, or unknown") {
    CHECK(passing(timetable("2027-05-15"), 4000, 5000) == "2027-05-15");
    CHECK(passing(timetable("2027-05-15T09:30", {}), 4000, 5000) == "2027-05-15 between 09:30 and 23:59");
    // 16 hours, less the quarter late, are 945 min: 40.32 km
    CHECK(passing(timetable("2027-05-15T09:30"), 40000, 40300) != "unknown");
    CHECK(passing(timetable("2027-05-15T09:30"), 40000, 40400) == "unknown");
    CHECK(passing(timetable("2027-05-15"), 40000, 40400) == "unknown");
    CHECK(passing(timetable("2027-05-15T09:30", survey::Pace{0, 0}), 0, 10) == "unknown");
}

// The clocks go back on 31 October 2027 at 02:00 summer time (last Sunday, Summer Time Order 2002).
TEST_CASE("the clock changes on the way") {
    CHECK(passing(timetable("2027-10-31T00:30"), 10000, 10000) == "2027-10-31 between 01:30 and 03:39");
}
