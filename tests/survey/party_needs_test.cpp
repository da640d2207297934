#include "survey/party_needs.hpp"
#include "survey/way_condition.hpp"
#include "surveyed.hpp"

#include <doctest/doctest.h>

using namespace waywarden;
using namespace waywarden::test;

namespace {

survey::Survey surveyed_by(const Sketch& sketch, std::string_view walk, int people, int group) {
    survey::Given given;
    given.people = people;
    given.walkers = group;
    return survey::survey(sketch.route_of(walk), sketch.ground(), sketch.trace(walk), region::load("england"),
                          k_today_s, given);
}

map::Tags tags(std::vector<std::pair<std::string, std::string>> pairs) {
    return map::Tags(std::move(pairs));
}

} // namespace

// The seconds each are rules of thumb (common practice, no source); what is tested is what follows from them.
TEST_CASE("a queue at a stile, on steps and on a narrow way; none on a wide one") {
    const Sketch map("A...S...B...C...D", 25,
                     {"nS Tbarrier=stile", "w1 Thighway=footway,width=0.8 NASB", "w2 Thighway=steps NBC",
                      "w3 Thighway=footway,width=2 NCD"});
    const auto survey = surveyed_by(map, "1:ASB 2:BC 3:CD", 300, 30);
    CHECK(*spot(survey, "stile").facts.number("queue_min") == doctest::Approx(75)); // 15 s each
    const auto queue = [&](std::size_t i) {
        return survey.stretches.at(i).reading.facts.number("queue_min");
    };
    CHECK(*queue(0) == doctest::Approx(5));  // 1 s each
    CHECK(*queue(1) == doctest::Approx(10)); // 2 s each
    CHECK_FALSE(queue(2));
    const auto unknown = surveyed(map, "1:ASB 2:BC 3:CD"); // nobody said how many come
    CHECK_FALSE(spot(unknown, "stile").facts.number("queue_min"));
}

TEST_CASE("a road is crossed group after group, 10 s between them") {
    CHECK(survey::party_cross_min(30, 300, 30) == doctest::Approx((10 * 30 + 9 * 10) / 60.0));
    CHECK(survey::party_cross_min(30, 301, 30) == doctest::Approx((11 * 30 + 10 * 10) / 60.0));
    CHECK(survey::party_cross_min(6, 1, 1) == doctest::Approx(0.1));
    const Sketch map(R"(
    ..C..
    A.M.B
    ..D.. )",
                     50, {"w1 Thighway=footway NAMB", "w2 Thighway=residential NCMD"});
    const auto few = surveyed_by(map, "1:AMB", 30, 30), many = surveyed_by(map, "1:AMB", 300, 30);
    const auto minutes = [](const survey::Survey& s) {
        return *s.crossings.at(0).facts.number("party_cross_min");
    };
    CHECK(minutes(few) * 60 == doctest::Approx(*few.crossings.at(0).facts.number("cross_time_s")));
    CHECK(minutes(many) == doctest::Approx(10 * minutes(few) + 1.5));
}

TEST_CASE("how far it is between toilets, taps and ways off, the ends of the walk included") {
    const Sketch map(
        R"(
    .T..........
    A..M.......B
    ...C........ )",
        90, {"nT Tamenity=toilets", "w1 Thighway=path,foot=yes NAMB", "w2 Thighway=path,foot=yes NMC"});
    const auto facts = surveyed(map, "1:AMB").route_facts;
    CHECK(*facts.number("longest_without_toilets_m") == doctest::Approx(900).epsilon(0.01));
    CHECK(*facts.number("longest_without_toilets_from_m") == doctest::Approx(90).epsilon(0.01));
    CHECK(*facts.number("longest_without_water_m") == doctest::Approx(990).epsilon(0.01));
    CHECK(*facts.number("longest_without_way_off_m") == doctest::Approx(720).epsilon(0.01));
    CHECK(*facts.flag("toilets_at_start"));
    CHECK_FALSE(*facts.flag("parking_at_start"));
    CHECK_FALSE(*surveyed(map, "1:BMA").route_facts.flag("toilets_at_start"));
}

TEST_CASE("metres along roads without a pavement: not those with one, not service roads") {
    const Sketch map("A..B...C....D..E", 100,
                     {"w1 Thighway=unclassified NAB", "w2 Thighway=tertiary,sidewalk=both NBC",
                      "w3 Thighway=residential NCD", "w4 Thighway=service NDE"});
    const auto facts = surveyed(map, "1:AB 2:BC 3:CD 4:DE").route_facts;
    CHECK(*facts.number("road_without_pavement_m") == doctest::Approx(800).epsilon(0.01));
    CHECK(*facts.number("longest_road_without_pavement_m") == doctest::Approx(500).epsilon(0.01));
    CHECK(*facts.number("road_without_pavement_share") == doctest::Approx(100 * 8 / 15.0).epsilon(0.01));
}

// Values as the OSM wiki writes them, Key:incline.
TEST_CASE("steepness in percent, whichever way it goes") {
    CHECK(*survey::incline_pct("12%") == 12);
    CHECK(*survey::incline_pct("-12 %") == 12);
    CHECK(*survey::incline_pct("45°") == doctest::Approx(100));
    CHECK(*survey::incline_pct("0") == 0);
    for (const char* value : {"up", "down", "steep", "", "12", "1000%", "%"})
        CHECK_MESSAGE(!survey::incline_pct(value), value);
}

TEST_CASE("the state of a way; what is not recorded stays unknown") {
    const auto facts = [](map::Tags t) {
        survey::Facts out;
        survey::set_condition_facts(out, t);
        return out;
    };
    const auto all = facts(tags({{"dog", "leash"},
                                 {"incline", "30%"},
                                 {"informal", "yes"},
                                 {"obstacle", "vegetation"},
                                 {"overgrown", "no"},
                                 {"smoothness", "bad"}}));
    CHECK(all.text("dogs_allowed") == "leashed");
    CHECK(*all.number("incline_pct") == 30);
    CHECK(*all.flag("informal"));
    CHECK(all.text("obstacle") == "vegetation");
    CHECK_FALSE(*all.flag("overgrown"));
    CHECK(all.text("smoothness") == "bad");
    CHECK(facts(tags({{"highway", "path"}, {"incline", "up"}, {"obstacle", "no"}})).all().empty());
}

// OSM wiki, Key:oneway:foot.
TEST_CASE("ways that walkers may go one way only, and which way the walk goes") {
    const auto against = [](const std::string& t, const std::string& walk) {
        const Sketch map("A...B...C", 25, {"w1 Thighway=footway" + t + " NABC"});
        return surveyed(map, walk).stretches.at(0).reading.facts.flag("against_oneway");
    };
    CHECK(against(",oneway:foot=yes", "1:CBA") == true);
    CHECK(against(",oneway:foot=yes", "1:ABC") == false);
    CHECK(against(",oneway:foot=-1", "1:ABC") == true);
    CHECK(against(",foot:backward=no", "1:CBA") == true);
    CHECK(against(",foot:forward=no", "1:CBA") == false);
    CHECK(against(",oneway:foot=yes", "1:ABCB") == true); // there and back
    CHECK_FALSE(against("", "1:CBA"));
    CHECK_FALSE(against(",oneway=yes", "1:CBA")); // that is for vehicles
    const Sketch straight("A.b...c.D", 25, {"w1 Thighway=footway,oneway:foot=yes NAD"});
    const auto between = [&](const std::string& walk) {
        return surveyed(straight, walk).stretches.at(0).reading.facts.flag("against_oneway");
    };
    CHECK(between("1:cb") == true);
    CHECK(between("1:bc") == false);
}

TEST_CASE("the edge of water: along a canal and a lake, not along a stream, not from a road, not far off") {
    const auto edge = [](const std::string& way, const std::string& water) {
        const Sketch map(R"(
    C.........D
    A.........B )",
                         8, {"w1 T" + way + " NAB", "w2 T" + water + " NCD"});
        return spots(surveyed(map, "1:AB"), "water_edge");
    };
    CHECK(edge("highway=path", "waterway=canal") == "0-80"); // 8 m from its middle line
    CHECK(edge("highway=path", "waterway=river,width=30") == "0-80");
    CHECK(edge("highway=path", "waterway=stream") == "");
    CHECK(edge("highway=path", "waterway=canal,tunnel=culvert") == "");
    CHECK(edge("highway=residential", "waterway=canal") == "");
    const Sketch lake(R"(
    E..............F
    ................
    C..............D
    A..............B )",
                      5, {"w1 Thighway=path NAB", "w2 Tnatural=water,name=Skerry%20%Water NCDFEC"});
    const auto survey = surveyed(lake, "1:AB");
    CHECK(spots(survey, "water_edge") == "0-75");
    CHECK(spot(survey, "water_edge").name == "Skerry Water");
    CHECK(*spot(survey, "water_edge").facts.number("distance_m") == doctest::Approx(5).epsilon(0.02));
    const Sketch far(R"(
    C..............D
    A..............B )",
                     12, {"w1 Thighway=path NAB", "w2 Twaterway=canal NCD"});
    CHECK(spots(surveyed(far, "1:AB"), "water_edge") == "");
}
