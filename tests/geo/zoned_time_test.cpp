#include "geo/zoned_time.hpp"

#include <doctest/doctest.h>

#include <cstdlib>
#include <ctime>
#include <filesystem>

using namespace waywarden::geo;
using namespace std::chrono;

namespace {

LocalSeconds at(const char* text) {
    return read_time(text).value().at;
}

} // namespace

// Checked against the C library and the IANA tables of this machine, which change with the law; every 59
// minutes from the end of 1996 to 2037.
TEST_CASE("the clocks are those of the IANA time zone database") {
    for (const char* zone : {"Europe/London", "Europe/Dublin", "Europe/Isle_of_Man", "Europe/Jersey",
                             "Europe/Lisbon", "Europe/Oslo", "Europe/Zurich", "Atlantic/Faroe", "UTC"}) {
        CAPTURE(zone);
        if (!std::filesystem::exists(std::string("/usr/share/zoneinfo/") + zone)) {
            MESSAGE("skipped: no time zone tables on this machine");
            return;
        }
        setenv("TZ", zone, 1);
        tzset();
        std::size_t wrong = 0;
        for (waywarden::geo::UtcSeconds t = sys_days(1996y / 10 / 28); t < sys_days(2037y / 12 / 31);
             t += minutes(59)) {
            const std::time_t unix_s = t.time_since_epoch() / seconds(1);
            std::tm local{};
            localtime_r(&unix_s, &local);
            const auto offset = utc_offset(zone, t);
            if (!offset || offset->count() != local.tm_gmtoff) ++wrong;
        }
        CHECK(wrong == 0);
    }
    unsetenv("TZ");
    tzset();
}

TEST_CASE("a zone that is not known stays unknown") {
    CHECK(!utc_offset("America/New_York", sys_days(2027y / 5 / 15)));
    CHECK(!utc_offset("", sys_days(2027y / 5 / 15)));
    CHECK(!utc_offset("Europe/London", sys_days(1990y / 5 / 15)));
    CHECK(!to_utc("Europe/Nowhere", at("2027-05-15T09:30")));
}

// Directive 2000/84/EC; in 2027 the last Sundays are 28 March and 31 October.
TEST_CASE("from the clock to UTC and back, also where the clock changes") {
    CHECK(to_utc("Europe/London", at("2027-05-15T09:30")) ==
          sys_days(2027y / 5 / 15) + hours(8) + minutes(30));
    CHECK(to_utc("Europe/London", at("2027-12-15T09:30")) ==
          sys_days(2027y / 12 / 15) + hours(9) + minutes(30));
    CHECK(to_utc("Europe/London", at("2027-10-31T01:30")) == sys_days(2027y / 10 / 31) + minutes(30));
    CHECK(to_utc("Europe/London", at("2027-10-31T02:00")) == sys_days(2027y / 10 / 31) + hours(2));
    CHECK(to_utc("Europe/London", at("2027-03-28T01:30")) == sys_days(2027y / 3 / 28) + minutes(90));
    CHECK(to_local("Europe/London", sys_days(2027y / 3 / 28) + hours(1)) == at("2027-03-28T02:00"));
    CHECK(to_local("Europe/London", sys_days(2027y / 3 / 28) + minutes(59)) == at("2027-03-28T00:59"));
    CHECK(to_local("Europe/Oslo", sys_days(2027y / 7 / 1)) == at("2027-07-01T02:00"));
}

TEST_CASE("written times") {
    CHECK(read_time("2027-05-15T09:30")->has_clock);
    CHECK(!read_time("2027-05-15")->has_clock);
    CHECK(read_time("2027-05-15T09:30:05")->at == at("2027-05-15T09:30") + seconds(5));
    CHECK(read_time("2028-02-29"));
    for (const char* bad : {"", "2027-02-29", "2027-13-01", "2027-05-15 09:30", "2027-05-15T24:00",
                            "15.05.2027", "2027-05-15T09:60", "2027-05-15T9:30", "2027-05-15T09:30Z"})
        CHECK_MESSAGE(!read_time(bad), bad);
}
