#include "pictures.hpp"

/// What matters to some parties only.
namespace waywarden::twins {

namespace {

/// 9 km along a street, with X in its middle.
const Picture k_long{R"(
    0A.....XY....B
)",
                     750,
                     "AB",
                     {"0AXYB street", "A amenity=parking"}};

/// 5.4 km, the same.
const Picture k_half_a_day{k_long.drawing, 450, "AB", k_long.always};

} // namespace

std::vector<Twin> youth_twins() {
    const std::string party = "youth-expedition";
    return {
        {.rule = "much-road-walking",
         .picture = k_along,
         .hazard = {"AB highway=unclassified maxspeed=20 mph sidewalk=no"},
         .says = "much-road-walking:note",
         .harmless = {"AB highway=unclassified maxspeed=20 mph sidewalk=both"},
         .party = party},
        {.rule = "long-without-a-way-off",
         .picture = k_far,
         .hazard = {"AXB footpath"},
         .says = "far-from-help:warning, long-without-a-way-off:note",
         .harmless = {"AXB footpath", "MXN street"},
         .party = party},
        {.rule = "along-the-edge-of-water",
         .picture = k_close,
         .hazard = {"ef waterway=river"},
         .says = "along-the-edge-of-water:note",
         .harmless = {"gh waterway=river"},
         .party = party},
        {.rule = "steep-way",
         .picture = k_along,
         .hazard = {"AB footpath incline=30%"},
         .says = "steep-way:note",
         .harmless = {"AB footpath incline=5%"},
         .party = party},
        {.rule = "path-easily-missed",
         .picture = k_along,
         .hazard = {"AB footpath trail_visibility=intermediate"},
         .says = "path-easily-missed:note",
         .harmless = {"AB footpath trail_visibility=good"},
         .party = party},
        {.rule = "path-easily-missed",
         .picture = k_along,
         .hazard = {"AB highway=path informal=yes"},
         .says = "path-easily-missed:note",
         .harmless = {"AB highway=path informal=no"},
         .party = party},
        {.rule = "level-crossing",
         .picture = k_across,
         .hazard = {"NXS railway=rail", "X railway=crossing crossing:barrier=gates"},
         .says = "level-crossing:error",
         .harmless = {"NS railway=rail bridge=yes"},
         .party = party},
    };
}

std::vector<Twin> crowd_twins() {
    const std::string party = "charity-walk";
    const std::vector<std::string> sets{"charity-walk"};
    const std::string wheels = R"({"step_free": true})";
    return {
        {.rule = "street-crossed-by-many",
         .picture = k_across,
         .hazard = {"NXS street", "A amenity=parking"},
         .says = "street-crossed-by-many:note",
         .harmless = {"NXS street", "A amenity=parking", "X highway=crossing crossing=traffic_signals"},
         .party = party},
        {.rule = "queue-at-a-barrier",
         .picture = k_along,
         .hazard = {"AXB footpath", "X barrier=stile", "0 amenity=parking"},
         .says = "queue-at-a-barrier:warning",
         .harmless = {"AXB footpath", "X barrier=entrance", "0 amenity=parking"},
         .party = party},
        {.rule = "queue-on-a-narrow-way",
         .picture = k_along,
         .hazard = {"AXB footpath width=0.6", "0 amenity=parking"},
         .says = "queue-on-a-narrow-way:note",
         .harmless = {"AXB footpath width=3", "0 amenity=parking"},
         .party = R"({"number": 700})",
         .sets = sets},
        {.rule = "unfit-for-wheels",
         .picture = k_along,
         .hazard = {"AB footpath surface=mud"},
         .says = "unfit-for-wheels:warning",
         .harmless = {"AB footpath surface=asphalt"},
         .party = wheels,
         .sets = sets},
        {.rule = "surface-for-wheels-not-recorded",
         .picture = k_along,
         .hazard = {"AB footpath"},
         .says = "surface-for-wheels-not-recorded:note",
         .harmless = {"AB footpath surface=compacted"},
         .party = wheels,
         .sets = sets},
        {.rule = "first-aid-far-from-vehicle",
         .picture = k_over,
         .hazard = {"APXQB footpath"},
         .says = "first-aid-far-from-vehicle:note",
         .harmless = {"APXQB footpath", "NXS street"},
         .sets = sets},
        {.rule = "long-without-toilets",
         .picture = k_half_a_day,
         .hazard = {},
         .says = "long-without-toilets:note",
         .harmless = {"X amenity=toilets"},
         .party = party},
        {.rule = "long-without-drinking-water",
         .picture = k_long,
         .hazard = {"X amenity=toilets"},
         .says = "long-without-drinking-water:note",
         .harmless = {"X amenity=toilets", "Y amenity=drinking_water"},
         .party = party},
        {.rule = "long-without-drinking-water",
         .picture = k_long,
         .hazard = {"X amenity=toilets drinking_water=no"},
         .says = "long-without-drinking-water:note",
         .harmless = {"X amenity=toilets drinking_water=yes"},
         .party = party},
        {.rule = "no-parking-at-the-start",
         .picture = k_along,
         .hazard = {"AB footpath"},
         .says = "no-parking-at-the-start:note",
         .harmless = {"AB footpath", "0 amenity=parking"},
         .party = party},
        {.rule = "no-parking-at-the-start",
         .picture = k_open,
         .hazard = {"AB footpath", "R amenity=parking"},
         .says = "first-aid-far-from-vehicle:note, no-parking-at-the-start:note",
         .harmless = {"AB footpath", "V amenity=parking"},
         .twin_says = "first-aid-far-from-vehicle:note",
         .walk = "AB",
         .party = party},
        {.rule = "consent-for-many",
         .picture = k_along,
         .hazard = {"AB highway=footway foot=permissive", "0 amenity=parking"},
         .says = "consent-for-many:warning",
         .harmless = {"AB highway=footway foot=designated", "0 amenity=parking"},
         .party = party},
    };
}

std::vector<Twin> club_twins() {
    const std::string party = "club-walk";
    return {
        {.rule = "stiles-with-dogs",
         .picture = k_along,
         .hazard = {"AXB footpath", "X barrier=stile"},
         .says = "stiles-with-dogs:note",
         .harmless = {"AXB footpath", "X barrier=kissing_gate"},
         .party = party},
        {.rule = "dogs-not-allowed",
         .picture = k_along,
         .hazard = {"AB footpath dog=no"},
         .says = "dogs-not-allowed:warning",
         .harmless = {"AB footpath dog=yes"},
         .party = party},
        {.rule = "dogs-on-a-lead",
         .picture = k_along,
         .hazard = {"AB footpath dog=leashed"},
         .says = "dogs-on-a-lead:note",
         .harmless = {"AB footpath dog=yes"},
         .party = party},
        {.rule = "restricted-at-times",
         .picture = k_along,
         .hazard = {"AB footpath foot:conditional=no @ (Mar 01-Jul 31)"},
         .says = "restricted-at-times:warning",
         .harmless = {"AB footpath vehicle:conditional=no @ (Mar 01-Jul 31)"},
         .party = party},
    };
}

std::vector<Twin> light_twins() {
    const std::vector<std::string> sets{"time-and-light"};
    const auto at = [&](const std::string& rule, const std::string& start, const std::string& says,
                        const std::string& twin_start) {
        return Twin{.rule = rule,
                    .picture = k_along,
                    .hazard = {"AB footpath"},
                    .says = says,
                    .harmless = {"AB footpath"},
                    .sets = sets,
                    .start = start,
                    .twin_start = twin_start};
    };
    std::vector<Twin> rows{
        at("ends-in-the-dark", "2026-06-15T22:34", "ends-in-the-dark:error", "2026-06-15T12:00"),
        at("ends-after-sunset", "2026-06-15T21:30", "ends-after-sunset:warning", "2026-06-15T12:00"),
        at("little-daylight-left", "2026-06-15T20:50", "little-daylight-left:note", "2026-06-15T12:00"),
        at("starts-in-the-dark", "2026-06-15T02:00", "ends-in-the-dark:error, starts-in-the-dark:warning",
           "2026-06-15T12:00"),
        at("daylight-cannot-be-told", "2026-06-15T12:00", "daylight-cannot-be-told:note", "2026-06-15T12:00"),
    };
    rows.back().region = "general"; // the clock of the place is not known there
    rows.back().twin_region = "england";
    rows.push_back({.rule = "day-too-long",
                    .picture = k_long,
                    .hazard = {},
                    .says = "day-too-long:warning",
                    .harmless = {},
                    .party = R"({"longest_day_h": 2})",
                    .sets = sets,
                    .start = "2026-06-15T09:00",
                    .twin_party = R"({"longest_day_h": 8})"});
    rows.push_back({.rule = "day-too-long", // no start: how long a day is needs none
                    .picture = k_long,
                    .hazard = {},
                    .says = "day-too-long:warning",
                    .harmless = {},
                    .party = R"({"longest_day_h": 2})",
                    .sets = sets,
                    .twin_party = R"({"longest_day_h": 8})"});
    rows.push_back({.rule = "no-rest-planned",
                    .picture = k_long,
                    .hazard = {},
                    .says = "no-rest-planned:note",
                    .harmless = {},
                    .party = R"({"rest_min_per_h": 0})",
                    .sets = sets,
                    .twin_party = R"({"rest_min_per_h": 10})"});
    rows.push_back({.rule = "no-rest-planned",
                    .picture = k_long,
                    .hazard = {},
                    .says = "no-rest-planned:note",
                    .harmless = {},
                    .party = R"({"rest_min_per_h": 0})",
                    .sets = sets,
                    .start = "2026-06-15T09:00",
                    .twin_party = R"({"rest_min_per_h": 10})"});
    return rows;
}

} // namespace waywarden::twins
