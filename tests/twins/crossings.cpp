#include "pictures.hpp"

/// Roads and railways crossed.
namespace waywarden::twins {

namespace {

/// Two carriageways 50 m apart, each seen for 200 m.
const Picture k_dual{R"(
    ......NM....
    ............
    ............
    ............
    cA....XW...B
    ............
    ............
    ............
    ......ST....
)",
                     50,
                     "AB",
                     {"cA street", "AXWB footpath"}};

/// NXS is straight; C and D lead round a corner 40 m to each side of X, where traffic is not seen.
const Picture k_corners{R"(
    ..........N..........
    .....................
    .....................
    .....................
    .....................
    .....................
    .....................
    .....................
    c.........C..........
    .....................
    0.A.......X.........B
    .....................
    d.........D..........
    .....................
    .....................
    .....................
    .....................
    .....................
    .....................
    .....................
    ..........S..........
)",
                        20,
                        "AB",
                        {"0A street", "AXB footpath"}};

/// The footpath AXB crosses NXYS at X; Y is 20 m to its side.
const Picture k_beside_crossing{R"(
    ..............................N...............................
    ..............................................................
    ..............................................................
    ..............................................................
    0.A...........................X...............................B
    ..............................................................
    ..............................................................
    ..............................................................
    ..............................Y...............................
    ..............................................................
    ..............................................................
    ..............................................................
    ..............................S...............................
)",
                                5,
                                "AB",
                                {"0A street", "AXB footpath"}};

/// A double track, 5 m apart, that the footpath crosses at X and W.
const Picture k_two_tracks{R"(
    ..............................NM..............................
    ..............................................................
    ..............................................................
    ..............................................................
    0.A...........................XW..............................B
    ..............................................................
    ..............................................................
    ..............................................................
    ..............................ST..............................
)",
                           5,
                           "AB",
                           {"0A street", "AXWB footpath"}};

/// A path over a bridge from P to Q.
const Objects k_bridge{"AP footpath", "PQ footpath bridge=yes layer=1", "QB footpath"};

Objects over_a_bridge(const std::string& crossed) {
    Objects out = k_bridge;
    out.push_back(crossed);
    return out;
}

} // namespace

std::vector<Twin> crossing_twins() {
    return {
        {.rule = "motorway-crossed-at-grade",
         .picture = k_across,
         .hazard = {"NS highway=motorway"},
         .says = "motorway-crossed-at-grade:error",
         .harmless = {"NS highway=motorway bridge=yes layer=1"}},
        {.rule = "very-fast-road-crossed",
         .picture = k_over,
         .hazard = {"APXQB footpath", "NXS highway=trunk maxspeed=70 mph"},
         .says = "very-fast-road-crossed:error",
         .harmless = over_a_bridge("NXS highway=trunk maxspeed=70 mph")},
        {.rule = "fast-road-crossed",
         .picture = k_over,
         .hazard = {"AP footpath", "PQ footpath bridge=yes layer=1", "QB footpath",
                    "NXS highway=trunk maxspeed=60 mph bridge=yes layer=1"},
         .says = "fast-road-crossed:warning",
         .harmless = over_a_bridge("NXS highway=trunk maxspeed=60 mph")},
        {.rule = "fast-road-crossed",
         .picture = k_over,
         .hazard = {"APQB footpath", "NXS highway=trunk maxspeed=60 mph tunnel=building_passage"},
         .says = "fast-road-crossed:warning",
         .harmless = {"APQB footpath", "NXS highway=trunk maxspeed=60 mph tunnel=yes layer=-1"}},
        {.rule = "fast-road-crossed",
         .picture = k_over,
         .hazard = {"APXQB footpath", "NXS highway=raceway"},
         .says = "fast-road-crossed:warning",
         .harmless = over_a_bridge("NXS highway=raceway")},
        {.rule = "fast-road-crossed",
         .picture = k_over,
         .hazard = {"APXQB footpath", "NXS highway=bus_guideway"},
         .says = "fast-road-crossed:warning",
         .harmless = over_a_bridge("NXS highway=bus_guideway")},
        {.rule = "fast-road-crossed",
         .picture = k_over,
         .hazard = {"APXQB footpath", "NXS highway=trunk;primary"},
         .says = "fast-road-crossed:warning",
         .harmless = {"APXQB footpath", "NXS highway=platform"}},
        {.rule = "unfinished-road-crossed",
         .picture = k_across,
         .hazard = {"NXS highway=construction construction=trunk"},
         .says = "unfinished-road-crossed:warning",
         .harmless = {"NXS highway=proposed proposed=trunk"}},
        {.rule = "fast-road-crossed",
         .picture = k_across,
         .hazard = {"NXS highway=tertiary maxspeed=60 mph"},
         .says = "fast-road-crossed:warning",
         .harmless = {"NXS highway=tertiary maxspeed=30 mph"}},
        {.rule = "two-carriageways-crossed",
         .picture = k_dual,
         .hazard = {"NXS highway=primary oneway=yes dual_carriageway=yes maxspeed=40 mph",
                    "TWM highway=primary oneway=yes dual_carriageway=yes maxspeed=40 mph"},
         .says = "busy-road-crossed:note, two-carriageways-crossed:warning",
         .harmless = {"NXS highway=primary oneway=yes dual_carriageway=yes maxspeed=40 mph",
                      "TWM highway=primary oneway=yes dual_carriageway=yes maxspeed=40 mph",
                      "X highway=crossing crossing=traffic_signals",
                      "W highway=crossing crossing=traffic_signals"}},
        {.rule = "busy-road-crossed",
         .picture = k_across,
         .hazard = {"NXS highway=secondary maxspeed=30 mph"},
         .says = "busy-road-crossed:note",
         .harmless = {"NXS highway=secondary maxspeed=30 mph", "X highway=crossing crossing=zebra"}},
        {.rule = "very-fast-road-crossed",
         .picture = k_across,
         .hazard = {"NXS highway=trunk maxspeed=60 mph lanes:forward=2 lanes:backward=2"},
         .says = "very-fast-road-crossed:error",
         .harmless = {"NXS highway=trunk maxspeed=60 mph lanes:forward=1 lanes:backward=1"},
         .twin_says = "fast-road-crossed:warning"},
        {.rule = "busy-road-crossed",
         .picture = k_beside_crossing,
         .hazard = {"NXYS highway=secondary maxspeed=40 mph",
                    "Y highway=crossing crossing=traffic_signals foot=no"},
         .says = "busy-road-crossed:note",
         .harmless = {"NXYS highway=secondary maxspeed=40 mph",
                      "Y highway=crossing crossing=traffic_signals"}},
        {.rule = "busy-road-crossed",
         .picture = k_beside_crossing,
         .hazard = {"NXYS highway=secondary maxspeed=40 mph", "Y disused:highway=crossing crossing=zebra"},
         .says = "busy-road-crossed:note",
         .harmless = {"NXYS highway=secondary maxspeed=40 mph", "Y highway=crossing crossing=zebra"}},
        {.rule = "busy-road-crossed",
         .picture = k_across,
         .hazard = {"NXS highway=secondary maxspeed=30 mph", "X highway=crossing crossing=zebra disused=yes"},
         .says = "busy-road-crossed:note",
         .harmless = {"NXS highway=secondary maxspeed=30 mph", "X highway=crossing crossing=zebra"}},
        {.rule = "lane-with-presumed-limit-crossed",
         .picture = k_across,
         .hazard = {"NXS highway=unclassified"},
         .says = "lane-with-presumed-limit-crossed:note",
         .harmless = {"NXS highway=unclassified maxspeed=30 mph"}},
        {.rule = "poor-sight-where-crossing",
         .picture = k_corners,
         .hazard = {"cCXDd highway=unclassified maxspeed=35 mph"},
         .says = "poor-sight-where-crossing:warning",
         .harmless = {"NCXDS highway=unclassified maxspeed=35 mph"}},
        {.rule = "poor-sight-on-a-bend",
         .picture = k_corners,
         .hazard = {"cCXDd highway=unclassified maxspeed=35 mph sidewalk=no"},
         .says = "poor-sight-on-a-bend:warning, road-without-pavement:note",
         .harmless = {"NCXDS highway=unclassified maxspeed=35 mph sidewalk=no"},
         .twin_says = "road-without-pavement:note",
         .walk = "XDd",
         .twin_walk = "XDS"},
    };
}

std::vector<Twin> rail_twins() {
    return {
        {.rule = "along-a-railway",
         .picture = k_along,
         .hazard = {"AB railway=rail"},
         .says = "along-a-railway:error",
         .harmless = {"AB railway=rail", "ACD footpath"},
         .twin_walk = "ACD"},
        {.rule = "railway-crossed",
         .picture = k_over,
         .hazard = {"APXQB footpath", "NXS railway=rail"},
         .says = "railway-crossed:error",
         .harmless = over_a_bridge("NXS railway=rail")},
        {.rule = "level-crossing",
         .picture = k_over,
         .hazard = {"APXQB footpath", "NXS railway=rail", "X railway=crossing crossing:barrier=gates"},
         .says = "level-crossing:warning",
         .harmless = over_a_bridge("NXS railway=rail")},
        {.rule = "along-a-railway",
         .picture = k_along,
         .hazard = {"AB railway=rail abandoned:highway=track"},
         .says = "along-a-railway:error",
         .harmless = {"AB highway=track foot=yes abandoned:railway=rail"}},
        {.rule = "railway-crossed",
         .picture = k_across,
         .hazard = {"NXS railway=rail highway=proposed proposed=cycleway"},
         .says = "railway-crossed:error",
         .harmless = {"NXS railway=razed highway=proposed proposed=cycleway"}},
        {.rule = "railway-crossed",
         .picture = k_across,
         .hazard = {"NXS railway=rail;light_rail"},
         .says = "railway-crossed:error",
         .harmless = {"NXS railway=platform"}},
        {.rule = "railway-crossed",
         .picture = k_across,
         .hazard = {"NXS railway=rack"},
         .says = "railway-crossed:error",
         .harmless = {"NS railway=monorail layer=1"}},
        // Someone else's level crossing, 20 m along the rails.
        {.rule = "railway-crossed",
         .picture = k_beside_crossing,
         .hazard = {"NXYS railway=rail", "Y railway=level_crossing crossing:barrier=full"},
         .says = "railway-crossed:error",
         .harmless = {"NXYS railway=rail", "X railway=level_crossing crossing:barrier=full"},
         .twin_says = "level-crossing:warning"},
        // One crossing of two tracks, mapped on one of them.
        {.rule = "railway-crossed",
         .picture = k_two_tracks,
         .hazard = {"NXS railway=rail", "MWT railway=narrow_gauge", "X railway=crossing"},
         .says = "level-crossing:warning, railway-crossed:error",
         .harmless = {"NXS railway=rail", "MWT railway=rail", "X railway=crossing"},
         .twin_says = "level-crossing:warning"},
        {.rule = "private-gate",
         .picture = k_over,
         .hazard = {"APXQB footpath", "NXS railway=rail", "X railway=crossing foot=no"},
         .says = "level-crossing:warning, private-gate:error, right-in-conflict:warning",
         .harmless = {"APXQB footpath", "NXS railway=rail", "X railway=crossing foot=yes"},
         .twin_says = "level-crossing:warning"},
        {.rule = "private-gate",
         .picture = k_over,
         .hazard = {"APXQB footpath", "NXS railway=rail", "X railway=level_crossing access=private"},
         .says = "level-crossing:warning, private-gate:warning",
         .harmless = {"APXQB footpath", "NXS railway=rail",
                      "X railway=level_crossing access=private foot=yes"},
         .twin_says = "level-crossing:warning"},
        {.rule = "private-gate", // and no stile, for those with wheels
         .picture = k_over,
         .hazard = {"APXQB footpath", "NXS railway=rail", "X railway=crossing access=private"},
         .says = "level-crossing:warning, private-gate:warning",
         .harmless = {"APXQB footpath", "NXS railway=rail", "X railway=crossing"},
         .twin_says = "level-crossing:warning",
         .party = R"({"step_free": true})"},
        {.rule = "tram-or-disused-line-crossed",
         .picture = k_across,
         .hazard = {"NXS railway=tram"},
         .says = "tram-or-disused-line-crossed:note",
         .harmless = {"NS railway=tram bridge=yes layer=1"}},
        {.rule = "tram-or-disused-line-crossed",
         .picture = k_across,
         .hazard = {"NXS railway=disused disused=rail"},
         .says = "tram-or-disused-line-crossed:note",
         .harmless = {"NXS railway=dismantled"}},
        {.rule = "tram-or-disused-line-crossed",
         .picture = k_across,
         .hazard = {"NXS railway=disused"},
         .says = "tram-or-disused-line-crossed:note",
         .harmless = {"NXS railway=abandoned"}},
    };
}

} // namespace waywarden::twins
