#include "survey/coverage_of_tags.hpp"
#include "survey/on_the_way.hpp"
#include "survey/remoteness.hpp"
#include "surveyed.hpp"

#include <doctest/doctest.h>

using namespace waywarden;
using namespace waywarden::test;

namespace {

map::Tags tags(std::vector<std::pair<std::string, std::string>> pairs) {
    return map::Tags(std::move(pairs));
}

std::string listed(const survey::Survey& survey) {
    std::string out;
    for (const auto& p : survey.places)
        out += fmt::format("{}{} {} {}/{}", out.empty() ? "" : "; ", p.kind, p.name, std::lround(p.at_m),
                           std::lround(p.aside_m));
    return out;
}

bool says(const survey::Survey& survey, std::string_view words) {
    for (const std::string& line : survey.not_seen)
        if (line.find(words) != std::string::npos) return true;
    return false;
}

} // namespace

TEST_CASE("roads an ambulance can use: public ones unless closed to vehicles, others only where it is said") {
    CHECK(survey::ambulance_can_use(tags({{"highway", "unclassified"}})));
    CHECK(survey::ambulance_can_use(tags({{"highway", "primary_link"}})));
    CHECK_FALSE(survey::ambulance_can_use(tags({{"highway", "motorway"}})));
    CHECK_FALSE(survey::ambulance_can_use(tags({{"highway", "unclassified"}, {"motor_vehicle", "no"}})));
    CHECK(survey::ambulance_can_use(
        tags({{"emergency", "yes"}, {"highway", "unclassified"}, {"motor_vehicle", "no"}})));
    CHECK_FALSE(survey::ambulance_can_use(tags({{"highway", "track"}})));
    CHECK(survey::ambulance_can_use(tags({{"highway", "service"}})));
    CHECK_FALSE(survey::ambulance_can_use(tags({{"access", "private"}, {"highway", "service"}})));
    CHECK(survey::ambulance_can_use(tags({{"highway", "track"}, {"motor_vehicle", "yes"}})));
    CHECK_FALSE(survey::ambulance_can_use(tags({{"construction", "primary"}, {"highway", "construction"}})));
    CHECK_FALSE(survey::ambulance_can_use(tags({{"highway", "footway"}})));
}

TEST_CASE("farthest from a road: in the middle of a path between two, at 4 km/h") {
    // 2 km of path between two roads: 1 km, 15 minutes, and by the track the same.
    const Sketch map(R"(
    C...................D
    A...................B
    E...................F )",
                     100, {"w1 Thighway=path NAB", "w2 Thighway=tertiary NCAE", "w3 Thighway=tertiary NDBF"});
    const auto survey = surveyed(map, "1:AB");
    CHECK(*survey.route_facts.number("farthest_from_road_min") == doctest::Approx(15).epsilon(0.01));
    CHECK(*survey.route_facts.number("farthest_from_road_at_m") == doctest::Approx(1000).epsilon(0.01));
    CHECK(spots(survey, "farthest_from_road") == "1000-1000");
}

TEST_CASE("a path beside the route leads to a road sooner; one that is closed does not") {
    const auto minutes = [](const std::string& side) {
        const Sketch map(R"(
    ......D.....E
    .............
    A.....M.....B
    C............ )",
                         100,
                         {"w1 Thighway=path NAMB", "w2 Thighway=tertiary NAC", "w3 Thighway=tertiary NDE",
                          "w4 T" + side + " NMD"});
        return *surveyed(map, "1:AMB").route_facts.number("farthest_from_road_min");
    };
    // The end B: 600 m back to M and 200 m up; else 1200 m back to A.
    CHECK(minutes("highway=track") == doctest::Approx(0.8 * 15).epsilon(0.01));
    CHECK(minutes("highway=proposed,proposed=path") == doctest::Approx(1.2 * 15).epsilon(0.01));
}

TEST_CASE("open ground that crosses a road is near it there; a road without a road read is unknown") {
    const Sketch map(R"(
    ......C......
    x...........y
    ......D...... )",
                     100, {"w1 Thighway=tertiary NCD"});
    CHECK(*surveyed(map, "-:xy").route_facts.number("farthest_from_road_min") ==
          doctest::Approx(0.6 * 15).epsilon(0.02));
    const Sketch none("A.....B", 100, {"w1 Thighway=path NAB"});
    const auto survey = surveyed(none, "1:AB");
    CHECK_FALSE(survey.route_facts.number("farthest_from_road_min"));
    CHECK_FALSE(spot(survey, "farthest_from_road").facts.number("farthest_from_road_min"));
    const Sketch road("A.....B", 100, {"w1 Thighway=tertiary NAB"});
    CHECK(surveyed(road, "1:AB").route_facts.number("farthest_from_road_min") == 0);
}

TEST_CASE("over a gap in the line help is as far as straight across it") {
    const Sketch map(R"(
    C.............
    A.....B..E...F
    D............. )",
                     100, {"w1 Thighway=path NAB", "w2 Thighway=tertiary NCAD", "w3 Thighway=path NEF"});
    CHECK(*surveyed(map, "1:AB | 3:EF").route_facts.number("farthest_from_road_min") ==
          doctest::Approx(1.3 * 15).epsilon(0.01));
}

TEST_CASE("a walk that begins in the middle of a long path is as far as the path is") {
    const Sketch map(R"(
    C............
    A..x..y.....B
    D............ )",
                     100, {"w1 Thighway=path NAB", "w2 Thighway=tertiary NCAD"});
    CHECK(*surveyed(map, "1:xy").route_facts.number("farthest_from_road_min") ==
          doctest::Approx(0.6 * 15).epsilon(0.01));
}

TEST_CASE("a road within half an hour is found however far beside the walk, with the runs that are farther") {
    // Source of the half hour: SI 2004/1309, regulation 2. At 4 km/h it is 2 km: 1.5 km aside up the path MC
    // to the road, so 500 m of the walk to each side of M are within it.
    const Sketch map(R"(
    C....D
    ......
    ......
    A....M....B )",
                     500, {"w1 Thighway=path NAMB", "w2 Thighway=path NMD", "w3 Thighway=tertiary NCD"});
    const auto survey = surveyed(map, "1:AMB");
    CHECK(spots(survey, "farthest_from_road") == "0-2000; 3000-5000");
    CHECK(*survey.route_facts.number("farthest_from_road_min") ==
          doctest::Approx((2.5 + 1.5) * 15).epsilon(0.01));
    CHECK(*survey.stretches.at(0).reading.facts.number("farthest_from_road_min") ==
          doctest::Approx((2.5 + 1.5) * 15).epsilon(0.01));
}

TEST_CASE("ways that leave the route are counted by place; private ones are not") {
    const auto escapes = [](const std::string& side) {
        const Sketch map(
            R"(
    ..C...D....
    A.M...N...B )",
            100, {"w1 Thighway=path,foot=yes NAMNB", "w2 T" + side + " NMC", "w3 Thighway=tertiary NND"});
        return *surveyed(map, "1:AMNB").route_facts.number("escape_places");
    };
    CHECK(escapes("highway=footway,foot=yes") == 2);
    CHECK(escapes("highway=footway,foot=no") == 1);
}

TEST_CASE("shares of tags among ways of the same class, by length") {
    const Sketch map(R"(
    A.........B
    C...D
    E.....F )",
                     100,
                     {"w1 Thighway=tertiary NAB", "w2 Thighway=tertiary,sidewalk=no,maxspeed=40%20%mph NCD",
                      "w3 Thighway=secondary,sidewalk=both NEF"});
    const auto facts = surveyed(map, "1:AB").stretches.at(0).reading.facts;
    CHECK(*facts.number("pavement_tagged_share") == doctest::Approx(100 * 400.0 / 1400).epsilon(0.001));
    CHECK(*facts.number("speed_tagged_share") == doctest::Approx(100 * 400.0 / 1400).epsilon(0.001));
    CHECK(facts.number("surface_tagged_share") == 0);
    CHECK(*surveyed(map, "3:EF").stretches.at(0).reading.facts.number("pavement_tagged_share") == 100);
    CHECK_FALSE(surveyed(Sketch("A..B", 50, {"w1 Thighway=path NAB"}), "1:AB")
                    .stretches.at(0)
                    .reading.facts.number("pavement_tagged_share"));
}

TEST_CASE("layers that are empty are said to be unchecked, those that are not are not") {
    const Sketch bare("A..B", 50, {"w1 Thighway=tertiary NAB"});
    const auto survey = surveyed(bare, "1:AB");
    for (const char* words : {"No stream", "No crossing place", "No gate or stile", "No surface", "lighting"})
        CHECK_MESSAGE(says(survey, words), words);
    CHECK(says(survey, "about 5 km"));
    CHECK(says(survey, "No stream, river or canal is recorded anywhere in the map file"));
    const Sketch rich(R"(
    A..B..C
    D..E..F )",
                      50,
                      {"w1 Thighway=tertiary,surface=asphalt,lit=no NABC", "w2 Twaterway=stream NDEF",
                       "nB Thighway=crossing", "nC Tbarrier=gate"});
    const auto other = surveyed(rich, "1:ABC");
    for (const char* words : {"No stream", "No crossing place", "No gate or stile", "No surface", "lighting"})
        CHECK_FALSE_MESSAGE(says(other, words), words);
}

TEST_CASE("places on the way: both ways to tag an emergency access point, none twice, none private") {
    CHECK(survey::place_kind(tags({{"highway", "emergency_access_point"}})) == "emergency_point");
    CHECK(survey::place_kind(tags({{"emergency", "access_point"}})) == "emergency_point");
    CHECK(survey::place_kind(tags({{"access", "private"}, {"amenity", "parking"}})).empty());
    CHECK(survey::place_kind(tags({{"amenity", "bench"}})).empty());
    const Sketch map(R"(
    .......h......
    ..............
    ..p...........
    A..........P.B
    ...........T.. )",
                     50,
                     {"w1 Thighway=path NAPB", "np Tamenity=toilets,name=Staithe", "nh Tamenity=pub",
                      "nT Temergency=defibrillator", "nP Tbarrier=stile"});
    const auto survey = surveyed(map, "1:APB");
    CHECK(listed(survey) == "toilets Staithe 100/50; defibrillator  550/50"); // the pub is 150 m off
    CHECK(survey.route_facts.number("stiles") == 1);
    CHECK(survey.route_facts.number("gates") == 0);
}

TEST_CASE("an area is as near as its edge, and a walk into it is at it") {
    const Sketch map(R"(
    .C.......D.
    .E.......F.
    A.........B )",
                     30, {"w1 Thighway=path NAB", "w2 Tamenity=parking,name=Ness NCDFEC"});
    CHECK(listed(surveyed(map, "1:AB")) == "car_park Ness 30/30");
    const Sketch through(R"(
    ..C....D..
    A........B
    ..E....F.. )",
                         30, {"w1 Thighway=path NAB", "w2 Tamenity=parking,name=Ness NCDFEC"});
    CHECK(listed(surveyed(through, "1:AB")) == "car_park Ness 60/0");
}

TEST_CASE("metres by surface add up to the walk") {
    const Sketch map("A..B...C.D", 100,
                     {"w1 Thighway=path,surface=asphalt NAB", "w2 Thighway=track,surface=gravel NBC",
                      "w3 Thighway=steps NCD"});
    const auto facts = surveyed(map, "1:AB 2:BC 3:CD").route_facts;
    CHECK(*facts.number("paved_m") == doctest::Approx(300).epsilon(0.001));
    CHECK(*facts.number("unpaved_m") == doctest::Approx(400).epsilon(0.001));
    CHECK(*facts.number("surface_unknown_m") == doctest::Approx(200).epsilon(0.001));
    CHECK(facts.number("flights_of_steps") == 1);
    CHECK(facts.text("surfaces") == "gravel 400 m, asphalt 300 m");
}
