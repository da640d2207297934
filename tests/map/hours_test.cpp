#include "geo/zoned_time.hpp"
#include "map/hours.hpp"

#include <doctest/doctest.h>

#include <ctime>
#include <fstream>
#include <random>
#include <string>

using namespace waywarden;
using map::Opening;

namespace {

map::At at(const char* from, const char* to = nullptr) {
    return {geo::read_time(from).value().at,
            geo::read_time(to ? to : from).value().at,
            {2.1, 55.7},
            "Europe/London"};
}

Opening state(std::string_view value, const char* from, const char* to = nullptr) {
    return map::hours_at(value, at(from, to)).state;
}

} // namespace

TEST_CASE("opening hours drawn at random agree with another program") {
    std::ifstream file(WAYWARDEN_TESTS "/map/hours_cases.txt");
    REQUIRE(file);
    std::string line;
    std::size_t cases = 0, unknown = 0;
    while (std::getline(file, line)) {
        if (line.starts_with('#')) continue;
        const auto first = line.find('\t'), second = line.rfind('\t');
        const std::string value = line.substr(0, first), time = line.substr(first + 1, second - first - 1);
        const std::string theirs = line.substr(second + 1);
        const std::string ours = map::to_string(state(value, time.c_str()));
        ++cases;
        if (ours == "unknown" && theirs != "unknown")
            ++unknown;
        else
            CHECK_MESSAGE(ours == theirs, line);
    }
    CHECK(cases == 2994);
    CHECK(unknown == 64); // the reasons stand at the head of the list
}

// Source: OpenStreetMap wiki, Key:opening_hours/specification, version 0.7.2, and the npm package
// opening_hours 3.15.0 for the answers. 2027-05-17 is a Monday.
TEST_CASE("rules take each other's place, add, and step in") {
    CHECK(state("Mo-Fr 08:00-12:00; We 14:00-18:00", "2027-05-19T09:00") == Opening::closed);
    CHECK(state("Mo-Fr 08:00-12:00; We 14:00-18:00", "2027-05-19T15:00") == Opening::open);
    CHECK(state("Mo-Fr 08:00-12:00, We 14:00-18:00", "2027-05-19T09:00") == Opening::open);
    CHECK(state("Mo-Fr 08:00-12:00, We 14:00-18:00", "2027-05-19T15:00") == Opening::open);
    CHECK(state("Mo-Fr 08:00-12:00, 14:00-16:00", "2027-05-17T15:00") == Opening::open);
    CHECK(state("Mo-Fr 08:00-12:00, 14:00-16:00", "2027-05-16T15:00") == Opening::closed);
    CHECK(state("Mo-Fr 08:00-18:00; 12:00-13:00 off", "2027-05-17T12:30") == Opening::closed);
    CHECK(state("Mo-Fr 08:00-18:00; 12:00-13:00 off", "2027-05-17T13:30") == Opening::open);
    CHECK(state("Mo-Fr 08:00-11:00 || \"by appointment\"", "2027-05-17T10:00") == Opening::open);
    CHECK(state("Mo-Fr 08:00-11:00 || \"by appointment\"", "2027-05-17T12:00") == Opening::unknown);
}

TEST_CASE("dates") {
    CHECK(state("Mar 01-Jul 31", "2027-03-01T00:00") == Opening::open);
    CHECK(state("Mar 01-Jul 31", "2027-07-31T23:59") == Opening::open);
    CHECK(state("Mar 01-Jul 31", "2027-08-01T00:00") == Opening::closed);
    CHECK(state("Oct-Mar 18:00-06:00", "2027-04-01T02:00") == Opening::open);
    CHECK(state("Oct-Mar 18:00-06:00", "2027-04-02T02:00") == Opening::closed);
    CHECK(state("Dec 24-Jan 02", "2027-01-02T12:00") == Opening::open);
    CHECK(state("Dec 24-Jan 02", "2027-01-03T12:00") == Opening::closed);
    CHECK(state("2026 Apr 12-2026 Jun 01", "2026-06-01T12:00") == Opening::open);
    CHECK(state("2026 Apr 12-2026 Jun 01", "2027-05-01T12:00") == Opening::closed);
    CHECK(state("2027 Jan-Mar,Oct-Dec", "2027-11-01T12:00") == Opening::open);
    CHECK(state("2027 Jan-Mar,Oct-Dec", "2026-11-01T12:00") == Opening::closed);
    CHECK(state("Dec 24,26", "2027-12-26T12:00") == Opening::open);
    CHECK(state("Dec 24,26", "2027-12-25T12:00") == Opening::closed);
    CHECK(state("Feb 20-29", "2027-02-28T12:00") == Opening::open);
    CHECK(state("Feb 20-29", "2027-03-01T12:00") == Opening::closed);
    // Easter Sundays: 2027-03-28 and 2038-04-25, the latest there is (any table of Easter).
    CHECK(state("easter", "2027-03-28T12:00") == Opening::open);
    CHECK(state("easter -2 days", "2027-03-26T12:00") == Opening::open);
    CHECK(state("easter", "2038-04-25T12:00") == Opening::open);
    CHECK(state("Mar Su[-1]-Oct Su[-1]", "2027-03-28T12:00") == Opening::open);
    CHECK(state("Mar Su[-1]-Oct Su[-1]", "2027-03-27T12:00") == Opening::closed);
    // ISO 8601: 2027-01-03 is in week 53 of 2026, 2027-01-04 in week 1.
    CHECK(state("week 53", "2027-01-03T12:00") == Opening::open);
    CHECK(state("week 01", "2027-01-04T12:00") == Opening::open);
}

TEST_CASE("weekdays and times") {
    CHECK(state("Su[1] 10:00-16:00", "2027-05-02T12:00") == Opening::open);
    CHECK(state("Su[1] 10:00-16:00", "2027-05-09T12:00") == Opening::closed);
    CHECK(state("Su[-1] 10:00-16:00", "2027-05-30T12:00") == Opening::open);
    CHECK(state("Fr-Mo", "2027-05-17T12:00") == Opening::open);
    CHECK(state("Fr-Mo", "2027-05-18T12:00") == Opening::closed);
    CHECK(state("24/7", "2027-05-18T03:00") == Opening::open);
    CHECK(state("10:00-16:00", "2027-05-18T10:00") == Opening::open);
    CHECK(state("10:00-16:00", "2027-05-18T16:00") == Opening::closed);
    CHECK(state("22:00-26:00", "2027-05-18T01:59") == Opening::open);
    CHECK(state("off", "2027-05-18T01:59") == Opening::closed);
}

// Sun in London on 2026-12-21: 08:04 and 15:53 (astronomy-engine 2.1.19); here at 55.7 N, 2.1 E it is within
// half an hour of that, as on any map.
TEST_CASE("the sun") {
    CHECK(state("sunrise-sunset", "2026-12-21T12:00") == Opening::open);
    CHECK(state("sunrise-sunset", "2026-12-21T17:00") == Opening::closed);
    CHECK(state("sunrise-sunset", "2027-06-21T20:30") ==
          Opening::open); // not so with a sun that rises at six
    CHECK(state("(sunset+01:00)-(sunrise-01:00)", "2026-12-22T03:00") == Opening::open);
    CHECK(state("18:30-dusk", "2026-12-21T20:00") == Opening::unknown);
    map::At nowhere = at("2026-12-21T12:00");
    nowhere.zone.clear();
    CHECK(map::hours_at("sunrise-sunset", nowhere).state == Opening::unknown);
    CHECK(map::hours_at("10:00-14:00", nowhere).state == Opening::open);
}

TEST_CASE("what is not known is unknown, and no more than that") {
    CHECK(state("PH off; Mo-Fr 09:00-17:00", "2026-12-25T10:00") == Opening::open);
    CHECK(state("Mo-Fr 09:00-17:00; PH off", "2026-12-25T10:00") == Opening::unknown);
    CHECK(state("Mo-Fr 09:00-17:00; PH off", "2026-12-25T18:00") == Opening::closed);
    CHECK(state("Su,PH 10:00-12:00", "2027-05-16T11:00") == Opening::open);
    CHECK(state("SH Mo-Fr 10:00-12:00", "2027-05-16T11:00") == Opening::closed);
    CHECK(state("SH Mo-Fr 10:00-12:00", "2027-05-17T11:00") == Opening::unknown);
    CHECK(state("10:00-12:00+", "2027-05-17T11:00") == Opening::open);
    CHECK(state("10:00-12:00+", "2027-05-17T13:00") == Opening::unknown);
    CHECK(state("Mo-Fr 08:00-12:00 \"by appointment\"", "2027-05-17T10:00") == Opening::unknown);
    CHECK(state("low water only; Mo 10:00-12:00", "2027-05-17T11:00") == Opening::open);
    CHECK(state("low water only; Mo 10:00-12:00", "2027-05-18T11:00") == Opening::unknown);
    CHECK(map::hours_at("low water only", at("2027-05-18T11:00")).because ==
          "\"low water only\" cannot be read");
    for (const char* bad : {"", " ", ";", "9-17", "Mo-Fr 9am-5pm", "Su[1] +1 day", "Mo 10:00",
                            "10:00-16:00/01:30", "25:00-26:00", "10:60-12:00", "Jan-Mar 15", "Foo",
                            "2027 Dec 24-2027 Jan 05", "Apr 01+", "easter-Apr 05", "\"", "((((((((", "Mo-"})
        CHECK_MESSAGE(state(bad, "2027-05-17T11:00") == Opening::unknown, bad);
    CHECK(map::can_read_hours("Mo-Fr 10:00-12:00; PH off"));
    CHECK(!map::can_read_hours("Mo-Fr 10:00-12:00; wet"));
}

TEST_CASE("a span of time is open or closed only where it is so throughout") {
    CHECK(state("10:00-16:00", "2027-05-17T11:00", "2027-05-17T15:59") == Opening::open);
    CHECK(state("10:00-16:00", "2027-05-17T11:00", "2027-05-17T16:00") == Opening::unknown);
    CHECK(state("10:00-16:00", "2027-05-17T16:00", "2027-05-18T09:59") == Opening::closed);
    CHECK(state("Mar 01-Jul 31", "2027-05-17T00:00", "2027-05-17T23:59") == Opening::open);
    CHECK(state("24/7", "2027-05-17T00:00", "2027-05-27T00:00") == Opening::unknown);
    CHECK(state("24/7", "2027-05-17T10:00", "2027-05-17T09:00") == Opening::unknown);
}

TEST_CASE("any bytes are read, quickly") {
    std::mt19937 random(20270515);
    const std::string_view pieces[] = {
        "Mo", "Su[", "-1]",  "10:00", "-", ",",    ";",      "||",  "\"",   "(", "sunset+",
        "PH", "Jan", "2027", "week",  "/", "24/7", "easter", "off", "\xff", " ", "99999999999"};
    for (int i = 0; i < 20000; ++i) {
        std::string value;
        for (auto n = random() % 30; n > 0; --n)
            value += i % 2 ? std::string(pieces[random() % std::size(pieces)])
                           : std::string(1, static_cast<char>(random() % 256));
        const auto reading = map::hours_at(value, at("2027-05-17T11:00"));
        CHECK(!reading.because.empty());
    }
    std::string longest;
    while (longest.size() < 2000)
        longest += "Mo-Su sunrise-sunset,";
    const std::clock_t start = std::clock(); // of this process, whatever else the machine does
    map::hours_at(longest, at("2027-05-17T00:00", "2027-05-18T23:59"));
    [[maybe_unused]] const std::clock_t taken = std::clock() - start;
#if !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__) // which make it many times slower
    CHECK(taken < 5 * CLOCKS_PER_SEC);
#endif
    CHECK(state(std::string(5000, ';'), "2027-05-17T11:00") == Opening::unknown);
}
