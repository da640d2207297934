#include "geo/zoned_time.hpp"
#include "map/conditional.hpp"
#include "map/right_reading.hpp"

#include <doctest/doctest.h>

#include <random>

using namespace waywarden;
using map::Opening;
using map::Right;
using Closed = map::ClosedReading::State;

namespace {

map::At at(const char* from, const char* to = nullptr) {
    return {geo::read_time(from).value().at,
            geo::read_time(to ? to : from).value().at,
            {2.1, 55.7},
            "Europe/London"};
}

using Pairs = std::vector<std::pair<std::string, std::string>>;

map::RightReading right(Pairs pairs, const char* from) {
    static const region::Region england = region::load("england");
    return map::read_way(map::Tags(std::move(pairs)), england, at(from)).right;
}

Closed closed(Pairs pairs, const char* from, const char* to = nullptr) {
    static const region::Region england = region::load("england");
    return map::closed_on_foot(map::Tags(std::move(pairs)), england, at(from, to)).state;
}

/// "no", "-" where no condition holds, "no|-" where either may, "?" where the value cannot be read.
std::string says(std::string_view value, const char* from) {
    const auto reading = map::conditional_at(value, at(from));
    if (!reading.readable) return "?";
    std::string out;
    for (const auto& word : reading.possible)
        out += (out.empty() ? "" : "|") + word.value_or("-");
    CHECK((reading.possible.size() == 1) == reading.because.empty());
    return out;
}

} // namespace

// Source: OpenStreetMap wiki, Conditional restrictions: the grammar and its examples' shapes. 2027-05-17 is a
// Monday.
TEST_CASE("conditions on times") {
    CHECK(says("no @ (Mar 01-Jul 31)", "2027-05-17T10:00") == "no");
    CHECK(says("no @ (Mar 01-Jul 31)", "2027-08-17T10:00") == "-");
    CHECK(says("no @ Mar 01-Jul 31", "2027-05-17T10:00") == "no");
    CHECK(says("no@(Mar 01-Jul 31)", "2027-05-17T10:00") == "no");
    CHECK(says("no @ (Oct 01-Mar 31 18:00-06:00)", "2027-01-17T23:00") == "no");
    CHECK(says("no @ (sunset-sunrise)", "2027-05-17T23:30") == "no");
    CHECK(says("no @ (sunset-sunrise)", "2027-05-17T12:00") == "-");
    CHECK(says("No @ (Mo-Fr 08:00-10:00; PH off)", "2027-05-16T09:00") == "-");
    CHECK(says("no @ (Mo-Fr 08:00-10:00; PH off)", "2027-05-17T09:00") == "-|no");
}

TEST_CASE("a later clause that holds takes the place of an earlier one") {
    const char* value = "no @ (Apr-Sep); yes @ (Su 10:00-16:00)";
    CHECK(says(value, "2027-05-17T12:00") == "no");
    CHECK(says(value, "2027-05-16T12:00") == "yes");
    CHECK(says(value, "2027-01-18T12:00") == "-");
    CHECK(says("no @ (Apr-Sep); yes @ wet", "2027-05-17T12:00") == "no|yes");
    CHECK(says("no @ wet; yes @ (Apr-Sep)", "2027-05-17T12:00") == "yes");
}

TEST_CASE("several conditions must hold together, and what cannot be told is not guessed") {
    CHECK(says("no @ (Apr-Sep AND Su)", "2027-05-16T12:00") == "no");
    CHECK(says("no @ (Apr-Sep AND Su)", "2027-05-17T12:00") == "-");
    CHECK(says("no @ (Apr-Sep and wet)", "2027-05-17T12:00") == "-|no");
    CHECK(says("no @ (Apr-Sep AND wet)", "2027-01-17T12:00") == "-");
    CHECK(says("no @ (weight>7.5)", "2027-01-17T12:00") == "-|no");
    CHECK(map::conditional_at("no @ snow", at("2027-01-17T12:00")).because ==
          "\"snow\" depends on the weather");
    for (const char* bad : {"no", "no @", "@ (Mar)", "no @ ()x; y", "no @ Mo 08:00-10:00; Sa 09:00-12:00"})
        CHECK_MESSAGE(says(bad, "2027-05-17T12:00").find("?") != std::string::npos, bad);
}

TEST_CASE("the right on foot at a time is what the condition says") {
    const Pairs lambing{
        {"highway", "path"}, {"foot", "permissive"}, {"foot:conditional", "no @ (Mar 01-May 31)"}};
    CHECK(right(lambing, "2027-05-17T10:00").right == Right::forbidden);
    CHECK(right(lambing, "2027-06-17T10:00").right == Right::permissive);
    CHECK(right(lambing, "2027-05-17T10:00").because.front() ==
          "foot:conditional=no @ (Mar 01-May 31): no holds on 2027-05-17 10:00");
    const Pairs wet{{"highway", "path"}, {"foot", "yes"}, {"foot:conditional", "no @ wet"}};
    CHECK(right(wet, "2027-05-17T10:00").right == Right::unknown);
    CHECK(right(wet, "2027-05-17T10:00").value == "conditional");
    const Pairs opens{{"highway", "track"}, {"access", "private"}, {"foot:conditional", "yes @ (Sa,Su)"}};
    CHECK(right(opens, "2027-05-16T10:00").right == Right::recorded);
    CHECK(right(opens, "2027-05-17T10:00").right == Right::restricted);
    // access yields to a word on foot, at all times
    CHECK(right({{"highway", "path"}, {"foot", "yes"}, {"access:conditional", "no @ (Mo-Su)"}},
                "2027-05-17T10:00")
              .right == Right::recorded);
}

TEST_CASE("closed on foot") {
    const Pairs lambing{{"highway", "path"}, {"foot", "yes"}, {"foot:conditional", "no @ (Mar 01-May 31)"}};
    CHECK(closed(lambing, "2027-05-17T10:00") == Closed::yes);
    CHECK(closed(lambing, "2027-06-17T10:00") == Closed::no);
    CHECK(closed(lambing, "2027-05-31T23:30", "2027-06-01T00:30") == Closed::unknown);
    CHECK(closed({{"highway", "path"}}, "2027-05-17T10:00") == Closed::no);
    CHECK(closed({{"highway", "path"}, {"opening_hours", "sunrise-sunset"}}, "2027-12-17T20:00") ==
          Closed::yes);
    CHECK(closed({{"barrier", "gate"}, {"opening_hours", "08:00-18:00"}}, "2027-12-17T20:00") == Closed::yes);
    CHECK(closed({{"barrier", "gate"}, {"opening_hours", "08:00-18:00"}}, "2027-12-17T12:00") == Closed::no);
    CHECK(closed({{"barrier", "gate"}, {"access:conditional", "no @ (20:00-08:00)"}}, "2027-12-17T21:00") ==
          Closed::yes);
    CHECK(closed({{"route", "ferry"}, {"opening_hours", "Apr-Sep"}}, "2027-12-17T12:00") == Closed::yes);
    CHECK(closed({{"route", "ferry"}, {"foot:conditional", "no @ (Nov-Mar)"}}, "2027-12-17T12:00") ==
          Closed::yes);
    CHECK(closed({{"highway", "path"}, {"foot:forward:conditional", "no @ (Nov-Mar)"}}, "2027-12-17T12:00") ==
          Closed::unknown);
    CHECK(closed({{"highway", "path"}, {"motor_vehicle:conditional", "no @ (Nov-Mar)"}},
                 "2027-12-17T12:00") == Closed::no);
    CHECK(closed({{"highway", "path"}, {"foot:conditional", "customers @ (Nov-Mar)"}}, "2027-12-17T12:00") ==
          Closed::unknown);
    CHECK(closed({{"highway", "path"},
                  {"designation", "public_footpath"},
                  {"access:conditional", "no @ (2027 Dec)"}},
                 "2027-12-17T12:00") == Closed::unknown);
    CHECK(closed({{"highway", "path"}, {"foot", "yes"}, {"access:conditional", "no @ (2027 Dec)"}},
                 "2027-12-17T12:00") == Closed::no);
}

TEST_CASE("seasons") {
    const auto season = [](const char* value, const char* time) {
        return closed({{"highway", "path"}, {"seasonal", value}}, time);
    };
    CHECK(season("summer", "2027-07-17T12:00") == Closed::no);
    CHECK(season("summer", "2027-01-17T12:00") == Closed::yes);
    CHECK(season("summer", "2027-05-17T12:00") == Closed::unknown);
    CHECK(season("winter;spring", "2027-04-17T12:00") == Closed::no);
    CHECK(season("yes", "2027-04-17T12:00") == Closed::unknown);
    CHECK(season("no", "2027-04-17T12:00") == Closed::no);
    CHECK(season("monsoon", "2027-04-17T12:00") == Closed::unknown);
    CHECK(map::timed_tags(map::Tags({{"waterway", "stream"}, {"seasonal", "winter"}})).empty());
}

TEST_CASE("times in words") {
    CHECK(map::words_of(at("2027-05-17T09:05")) == "2027-05-17 09:05");
    CHECK(map::words_of(at("2027-05-17T09:05", "2027-05-17T10:00")) == "2027-05-17 between 09:05 and 10:00");
    CHECK(map::words_of(at("2027-05-17T00:00", "2027-05-17T23:59")) == "2027-05-17");
}

TEST_CASE("any bytes are weighed") {
    std::mt19937 random(20270515);
    const std::string_view pieces[] = {"no",  " @ ", "(", ")",   ";",    " AND ", "Mo",  "10:00-12:00",
                                       "wet", "\"",  "@", "Jan", "\xff", ">",     "yes", "sunset-sunrise"};
    for (int i = 0; i < 20000; ++i) {
        std::string value;
        for (auto n = random() % 30; n > 0; --n)
            value += i % 2 ? std::string(pieces[random() % std::size(pieces)])
                           : std::string(1, static_cast<char>(random() % 256));
        const auto reading = map::conditional_at(value, at("2027-05-17T11:00"));
        CHECK(reading.readable == !reading.possible.empty());
    }
}
