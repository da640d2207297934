#include "surveyed.hpp"

#include <doctest/doctest.h>

// What counts as crossed is the definition of the result's contract: passing from one side to the other. Each
// kind stands beside its harmless twin.

using namespace waywarden;
using namespace waywarden::test;

TEST_CASE("a path through a road at a shared node crosses it; one that ends there does not") {
    const Sketch map(R"(
        D
        .
    A . B . C
        .
        E     )",
                     50, {"w1 Thighway=tertiary NABC", "w2 Thighway=footway NDBE"});
    CHECK(crossings(map, "2:DBE") == "road way/1 level 100");
    CHECK(crossings(map, "2:DB") == "");
    CHECK(crossings(map, "1:AB 2:BD") == "");
    CHECK(crossings(map, "2:DBD") == "");
    CHECK(crossings(map, "1:ABC") == "");
}

TEST_CASE(
    "a T junction is no crossing for who walks along the top, and one for who walks on into another path") {
    const Sketch map(R"(
    A . B . C
        .
        E     )",
                     50, {"w1 Thighway=tertiary NEB", "w2 Thighway=footway NABC"});
    CHECK(crossings(map, "2:ABC") == "");
    const Sketch two(R"(
    A . B . C
      D
        E     )",
                     50, {"w1 Thighway=tertiary NABC", "w2 Thighway=footway NDB", "w3 Thighway=footway NBE"});
    CHECK(crossings(two, "2:DB 3:BE") == "");
}

TEST_CASE("a road that changes its way number at the junction is crossed once, under either number") {
    const Sketch map(R"(
        D
        .
    A . B . C
        .
        E     )",
                     50,
                     {"w1 Thighway=tertiary,name=Skerry%20%Lane NAB",
                      "w3 Thighway=tertiary,maxspeed=60%20%mph NBC", "w2 Thighway=footway NDBE"});
    const auto survey = surveyed(map, "2:DBE");
    CHECK(crossings(survey) == "road way/1 level 100");
    CHECK(survey.crossings[0].evidence.size() == 2);
    CHECK(*survey.crossings[0].facts.number("speed_limit_kmh") == doctest::Approx(96.56).epsilon(0.001));
}

TEST_CASE("walking along a road through a crossroads crosses the other road") {
    const Sketch map(R"(
        D
        .
    A . B . C
        .
        E     )",
                     50, {"w1 Thighway=tertiary NABC", "w2 Thighway=secondary NDBE"});
    CHECK(crossings(map, "1:ABC") == "road way/2 level 200");
    CHECK(crossings(map, "1:AB 2:BE") == "");
}

TEST_CASE("staggered: joined from one side, walked along, left on the other; not left on the same") {
    const Sketch map(R"(
        P       Q
        .       .
    A . B . . . C . D
                .
                R     )",
                     50,
                     {"w1 Thighway=tertiary NABCD", "w2 Thighway=footway NPB", "w3 Thighway=footway NQC",
                      "w4 Thighway=footway NRC"});
    const auto survey = surveyed(map, "2:PB 1:BC 4:CR");
    CHECK(crossings(survey) == "road way/1 level 300");
    CHECK(survey.crossings[0].position.lon_deg ==
          doctest::Approx((map.at('B').lon_deg + map.at('C').lon_deg) / 2).epsilon(1e-9));
    CHECK(crossings(map, "2:PB 1:BC 3:CQ") == "");
    // There and back again on the far arm: the walkers leave where they came from.
    CHECK(crossings(map, "2:PB 1:BCB 2:BP") == "");
    // Turned round on the road, then off on the other side.
    CHECK(crossings(map, "2:PB 1:BCDC 4:CR") == "road way/1 level 500");
}

TEST_CASE("staggered over a change of way number") {
    const Sketch map(R"(
        P
        .
    A . B . C . D . E
                .
                R     )",
                     50,
                     {"w1 Thighway=tertiary NABC", "w5 Thighway=tertiary NCDE", "w2 Thighway=footway NPB",
                      "w4 Thighway=footway NRD"});
    const auto survey = surveyed(map, "2:PB 1:BC 5:CD 4:DR");
    REQUIRE(survey.crossings.size() == 1);
    CHECK(survey.crossings[0].of == survey::CrossingOf::road);
    CHECK(survey.crossings[0].evidence.size() == 2);
    CHECK(crossings(map, "2:PB 1:BC 5:CDC 1:CB 2:BP") == "");
}

TEST_CASE("where a road walked along is said to be crossed does not hang on how its ways are cut") {
    // Where to cut is nothing that a leader could see: the places must be the same to the centimetre.
    const auto crossed = [](const std::vector<std::string>& road, const std::string& walk) {
        std::vector<std::string> objects{"w2 Thighway=footway NPB", "w3 Thighway=footway NFR",
                                         "w4 Thighway=footway NDQ"};
        for (const std::string& piece : road)
            objects.push_back(piece);
        const Sketch map(R"(
            P           Q
            .         .
    A . . . B       . D
              .   .     .
                C         E . F . . G
                              .
                              R     )",
                         40, objects);
        const auto survey = surveyed(map, walk);
        REQUIRE(survey.crossings.size() == 1);
        CHECK(survey.crossings[0].of == survey::CrossingOf::road);
        return survey.crossings[0];
    };
    const std::string tags = " Thighway=tertiary,name=Skerry%20%Lane N";
    const auto whole = crossed({"w1" + tags + "ABCDEFG"}, "2:PB 1:BCDEF 3:FR");
    for (const auto& [road, walk] : std::vector<std::pair<std::vector<std::string>, std::string>>{
             {{"w1" + tags + "AB", "w5" + tags + "BCDEFG"}, "2:PB 5:BCDEF 3:FR"},
             {{"w1" + tags + "ABC", "w5" + tags + "CDEFG"}, "2:PB 1:BC 5:CDEF 3:FR"},
             {{"w1" + tags + "ABCD", "w5" + tags + "DEFG"}, "2:PB 1:BCD 5:DEF 3:FR"},
             {{"w1" + tags + "ABCDE", "w5" + tags + "EFG"}, "2:PB 1:BCDE 5:EF 3:FR"},
             {{"w1" + tags + "ABCDEF", "w5" + tags + "FG"}, "2:PB 1:BCDEF 3:FR"},
             {{"w1" + tags + "ABC", "w5" + tags + "CD", "w6" + tags + "DE", "w7" + tags + "EFG"},
              "2:PB 1:BC 5:CD 6:DE 7:EF 3:FR"}}) {
        const auto cut = crossed(road, walk);
        CHECK(cut.at_m == doctest::Approx(whole.at_m).epsilon(1e-5));
        CHECK(geo::distance_m(cut.position, whole.position) < 0.01);
    }
    // The other way round as well.
    const auto back = crossed({"w1" + tags + "ABCDEFG"}, "3:RF 1:FEDCB 2:BP");
    const auto back_cut = crossed({"w1" + tags + "ABCD", "w5" + tags + "GFED"}, "3:RF 5:FED 1:DCB 2:BP");
    CHECK(geo::distance_m(back_cut.position, back.position) < 0.01);
}

TEST_CASE("where the road ends there is nothing to cross") {
    const Sketch map(R"(
    P
    .
    B . . . C . D
            .
            R     )",
                     50, {"w1 Thighway=tertiary NBCD", "w2 Thighway=footway NPB", "w4 Thighway=footway NRC"});
    CHECK(crossings(map, "2:PB 1:BC 4:CR") == "");
}

TEST_CASE("staggered between open ground and a road joined in mid-edge") {
    const Sketch map(R"(
        P
        .
    A . b . . . c . D
                .
                R     )",
                     50, {"w1 Thighway=tertiary NAD"});
    CHECK(crossings(map, "-:Pb 1:bc -:cR") == "road way/1 level 300");
    CHECK(crossings(map, "-:Pb 1:bcb -:bP") == "");
}

TEST_CASE("lines cut without a shared node: which means carries the walkers") {
    const auto over = [](const std::string& path, const std::string& line) {
        const Sketch map(R"(
        D
    A   .   C
        E     )",
                         50, {"w1 T" + line + " NAC", "w2 Thighway=footway" + path + " NDE"});
        return crossings(map, "2:DE");
    };
    CHECK(over("", "waterway=river") == "water way/1 none 50");
    CHECK(over(",bridge=yes", "waterway=river") == "water way/1 bridge 50");
    CHECK(over(",bridge=no", "waterway=river") == "water way/1 none 50");
    CHECK(over("", "waterway=stream,tunnel=culvert") == "water way/1 culvert 50");
    CHECK(over(",ford=yes", "waterway=stream") == "water way/1 ford 50");
    CHECK(over(",ford=stepping_stones", "waterway=stream") == "water way/1 ford 50");
    CHECK(over(",layer=1", "waterway=stream") == "water way/1 none 50"); // a layer alone is weak evidence
    CHECK(over(",tunnel=yes", "highway=motorway") == "road way/1 tunnel 50");
    CHECK(over("", "highway=motorway,bridge=yes") == "road way/1 tunnel 50");
    CHECK(over(",bridge=yes", "highway=trunk") == "road way/1 bridge 50");
    CHECK(over("", "highway=trunk,tunnel=yes") == "road way/1 bridge 50");
    CHECK(over("", "highway=trunk") == "road way/1 none 50");
    CHECK(over("", "railway=rail") == "rail way/1 none 50");
    CHECK(over("", "highway=track") == "");
    CHECK(over("", "highway=pedestrian,area=yes") == "");
    CHECK(over("", "barrier=fence") == "barrier way/1 none 50"); // no gap is drawn
    CHECK(over(",bridge=yes", "barrier=fence") == "");
}

TEST_CASE("water at a shared node: nothing, bridge, culvert, ford on the node or on the way") {
    const auto over = [](const std::string& path, const std::string& line, const std::string& node) {
        std::vector<std::string> objects{"w1 T" + line + " NABC", "w2 Thighway=footway" + path + " NDBE"};
        if (!node.empty()) objects.push_back("nB T" + node);
        const Sketch map(R"(
        D
    A . B . C
        E     )",
                         50, objects);
        return crossings(map, "2:DBE");
    };
    CHECK(over("", "waterway=stream", "") == "water way/1 none 50");
    CHECK(over(",bridge=yes", "waterway=stream", "") == "water way/1 bridge 50");
    CHECK(over("", "waterway=stream,tunnel=culvert", "") == "water way/1 culvert 50");
    CHECK(over("", "waterway=stream", "ford=yes") == "water way/1 ford 50");
    CHECK(over(",ford=yes", "waterway=stream", "") == "water way/1 ford 50");
    CHECK(over("", "waterway=stream", "ford=no") == "water way/1 none 50");
}

TEST_CASE("a ford's node that is not joined to the water counts within 10 m") {
    const auto over = [](double cell_m) {
        const Sketch map(R"(
        D
        F
    A   .   C
        E     )",
                         cell_m, {"w1 Twaterway=stream NAC", "w2 Thighway=track NDFE", "nF Tford=yes"});
        std::vector<survey::Means> means;
        for (const auto& crossing : surveyed(map, "2:DFE").crossings)
            means.push_back(crossing.means);
        return means;
    };
    CHECK(over(8) == std::vector{survey::Means::ford});
    // farther off it is a ford through some other water
    CHECK(over(20) == std::vector{survey::Means::ford, survey::Means::none});
}

TEST_CASE("a line that touches the walk and turns back is not crossed") {
    const Sketch map(R"(
        D
    A   .
        B
    C   .
        E     )",
                     50, {"w1 Twaterway=stream NABC", "w2 Thighway=footway NDE"});
    CHECK(crossings(map, "2:DE") == "");
}

TEST_CASE("a line with a vertex exactly on the walk is crossed once") {
    const Sketch map(R"(
        D
    A   .
        B
        .   C
        E     )",
                     50, {"w1 Twaterway=stream NABC", "w2 Thighway=footway NDE"});
    CHECK(crossings(map, "2:DE") == "water way/1 none 100");
}

TEST_CASE("over open ground the line through a point of the drawn line is crossed once") {
    const Sketch map(R"(
        D
    A . x . C
        E     )",
                     50, {"w1 Thighway=secondary NAC"});
    CHECK(crossings(map, "-:DxE") == "road way/1 none 50");
    CHECK(crossings(map, "-:DxD") == "");
}

TEST_CASE("off the path walls, fences and hedges are crossed; a gate nearby is the way through") {
    const Sketch wall(R"(
        D
    A . . . C
        E     )",
                      50, {"w1 Tbarrier=wall NAC"});
    CHECK(crossings(wall, "-:DE") == "barrier way/1 none 50");
    const auto gate = [](const std::string& more) {
        return surveyed(Sketch(R"(
            D
    A . . . .G. . C
            E     )",
                               10, {"w1 Tbarrier=wall NAGC", "nG Tbarrier=gate" + more}),
                        "-:DE");
    };
    const auto open = gate(",locked=no"), locked = gate(",locked=yes"), no = gate(",access=no");
    CHECK(crossings(open) == "barrier way/1 level 10");
    CHECK(open.crossings[0].facts.flag("barrier_passable") == true);
    CHECK(crossings(gate("")) == "barrier way/1 level 10");
    CHECK(crossings(locked) == "barrier way/1 none 10"); // OSM wiki, Key:locked
    CHECK(locked.crossings[0].facts.flag("barrier_passable") == false);
    CHECK(locked.crossings[0].facts.flag("locked") == true);
    CHECK(locked.crossings[0].evidence.size() == 2);
    CHECK(crossings(no) == "barrier way/1 none 10");
    const Sketch far(R"(
            D
    A . . . . . . . G C
            E     )",
                     10, {"w1 Tbarrier=fence NAGC", "nG Tbarrier=gate"});
    CHECK(crossings(far, "-:DE") == "barrier way/1 none 10");
}

TEST_CASE("what helps to cross a road is looked for within 30 m along it") {
    const auto facility = [](const std::string& tags, const std::string& place) {
        const Sketch map(
            R"(
              D
    A . X . Y B . . C
              E     )",
            6, {"w1 Thighway=secondary NAXYBC", "w2 Thighway=footway NDBE", "n" + place + " T" + tags});
        const auto survey = surveyed(map, "2:DBE");
        REQUIRE(survey.crossings.size() == 1);
        return survey.crossings[0].facts.text("facility");
    };
    CHECK(facility("highway=crossing,crossing=traffic_signals", "B") == "signals");
    CHECK(facility("highway=crossing,crossing=zebra", "Y") == "zebra");
    CHECK(facility("highway=crossing,crossing=uncontrolled", "Y") == "marked");
    CHECK(facility("highway=crossing,crossing=island", "Y") == "island");
    CHECK(facility("highway=crossing,crossing=unmarked", "Y") == "unmarked");
    CHECK(facility("highway=traffic_signals", "Y") == "other");
    CHECK(facility("crossing=zebra", "X") == "none_recorded"); // 36 m away
    CHECK(facility("highway=bus_stop", "Y") == "none_recorded");
}

TEST_CASE("a level crossing and its protection") {
    const auto protection = [](const std::string& tags) {
        std::vector<std::string> objects{"w1 Trailway=rail NABC", "w2 Thighway=footway NDBE"};
        if (!tags.empty()) objects.push_back("nB T" + tags);
        const Sketch map(R"(
        D
    A . B . C
        E     )",
                         50, objects);
        const auto survey = surveyed(map, "2:DBE");
        CHECK(crossings(survey) == "rail way/1 level 50");
        return survey.crossings.at(0).facts.text("rail_protection");
    };
    CHECK(protection("") == "none_recorded");
    CHECK(protection("railway=crossing") == "level_crossing");
    CHECK(protection("railway=level_crossing,crossing:barrier=full") == "barriers");
    CHECK(protection("railway=level_crossing,crossing:barrier=no,crossing:light=yes") == "lights");
    CHECK(protection("railway=crossing,crossing:barrier=gates") == "gates");
}

TEST_CASE("a road under construction is crossed too, and says so") {
    const Sketch map(R"(
        D
    A . B . C
        E     )",
                     50, {"w1 Thighway=construction,construction=trunk NABC", "w2 Thighway=footway NDBE"});
    const auto survey = surveyed(map, "2:DBE");
    CHECK(crossings(survey) == "road way/1 level 50");
    CHECK(survey.crossings[0].facts.text("lifecycle") == "construction");
    CHECK(survey.crossings[0].access == map::Access::major_road);
}

TEST_CASE("a gap between segments of the route crosses nothing") {
    const Sketch map(R"(
    P . D
    A . . . C
        E . Q )",
                     50, {"w1 Thighway=trunk NAC", "w2 Thighway=footway NPD", "w3 Thighway=footway NEQ"});
    CHECK(crossings(map, "2:PD | 3:EQ") == "");
}
