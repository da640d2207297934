#include "pictures.hpp"

/// What is wrong with the map or with the line.
namespace waywarden::twins {

namespace {

/// The map ends between A and B. C is on it, 300 m behind A.
const Picture k_edge{R"(
    0.A..C..!...B
)",
                     100,
                     "AB",
                     {"0A street", "AC footpath"}};

/// Along a street from U to A, then 1.8 km over ground on which nothing is mapped; M and N are 200 m beside
/// it.
const Picture k_wide{R"(
    ...M.......N
    ..A........B
    ............
    ..U.........
)",
                     200,
                     "UAB",
                     {"UA street"}};

/// A way of which a node is missing: n beside the walk, q 300 m off.
const Picture k_torn{R"(
    ......pq.....
    .............
    .............
    .....nm......
    0.A........B.
)",
                     100,
                     "AB",
                     {"0A street", "AB footpath"}};

/// A road from C to D and a path from A to B, 24 m apart, and a line in the middle between them.
const Picture k_beside{R"(
    ....C............................................................D
    ..................................................................
    ..................................................................
    ....i............................................................j
    ..................................................................
    ..................................................................
    0...A............................................................B
)",
                       4,
                       "ij",
                       {"0A street", "AC street"}};

} // namespace

std::vector<Twin> map_twins() {
    return {
        {.rule = "off-the-map",
         .picture = k_edge,
         .hazard = {},
         .says = "off-the-map:error",
         .harmless = {},
         .twin_walk = "AC"},
        {.rule = "map-visibly-empty",
         .picture = k_wide,
         .hazard = {},
         .says = "map-visibly-empty:error, off-any-path:warning",
         .harmless = {"MN barrier=hedge"},
         .twin_says = "off-any-path:warning"},
        {.rule = "map-data-missing",
         .picture = k_torn,
         .hazard = {"nm?n highway=service"},
         .says = "map-data-missing:warning",
         .harmless = {"nm highway=service"}},
        {.rule = "map-data-missing-farther-off",
         .picture = k_torn,
         .hazard = {"pq? highway=service"},
         .says = "map-data-missing-farther-off:note",
         .harmless = {"pq highway=service"}},
        {.rule = "stale-map",
         .picture = k_along,
         .hazard = {"AB footpath"},
         .says = "stale-map:note",
         .harmless = {"AB footpath"},
         .date = "2026-12-01",
         .twin_date = "2026-08-15"},
        {.rule = "stale-map",
         .picture = k_along,
         .hazard = {"AB footpath"},
         .says = "stale-map:warning",
         .harmless = {"AB footpath"},
         .date = "2027-06-15",
         .twin_date = "2026-08-15"},
        {.rule = "far-from-help",
         .picture = k_far,
         .hazard = {"AXB footpath"},
         .says = "far-from-help:warning",
         .harmless = {"AXB footpath", "MXN street"}},
    };
}

std::vector<Twin> line_twins() {
    const Objects path{"APXQB footpath"};
    return {
        {.rule = "gap-in-the-line",
         .picture = k_break,
         .hazard = path,
         .says = "gap-in-the-line:warning",
         .harmless = path,
         .walk = "AP QB",
         .twin_walk = "APQB"},
        {.rule = "long-gap-in-the-line",
         .picture = k_over,
         .hazard = path,
         .says = "long-gap-in-the-line:error",
         .harmless = path,
         .walk = "AP QB",
         .twin_walk = "APQB"},
        // What lies in a short gap is judged as if they went straight.
        {.rule = "motorway-crossed-at-grade",
         .picture = k_break,
         .hazard = {"APXQB footpath", "NXS highway=motorway"},
         .says = "gap-in-the-line:warning, motorway-crossed-at-grade:error",
         .harmless = {"APXQB footpath", "NS highway=motorway bridge=yes layer=1"},
         .twin_says = "gap-in-the-line:warning",
         .walk = "AP QB"},
        // No gap at all: where the segments meet lies what is crossed.
        {.rule = "motorway-crossed-at-grade",
         .picture = k_break,
         .hazard = {"APXQB footpath", "NXS highway=motorway"},
         .says = "motorway-crossed-at-grade:error",
         .harmless = {"APXQB footpath", "NS highway=motorway bridge=yes layer=1"},
         .walk = "AX XB"},
        {.rule = "locked-gate",
         .picture = k_break,
         .hazard = {"APXQB footpath", "X barrier=gate locked=yes"},
         .says = "locked-gate:error",
         .harmless = {"APXQB footpath", "X barrier=gate locked=no"},
         .walk = "AX XB"},
        {.rule = "point-at-zero",
         .picture = k_over,
         .hazard = path,
         .says =
             "day-too-long:warning, far-from-help:warning, jump-in-the-line:error, jump-in-the-line:error, "
             "map-visibly-empty:error, "
             "off-the-map:error, point-at-zero:error",
         .harmless = path,
         .walk = "AP@QB",
         .twin_walk = "APQB"},
        {.rule = "coordinates-swapped",
         .picture = k_over,
         .hazard = path,
         .says = "coordinates-swapped:error, day-too-long:warning, far-from-help:warning, "
                 "map-visibly-empty:error, off-the-map:error",
         .harmless = path,
         .walk = "AP%QB",
         .twin_walk = "APQB"},
        {.rule = "jump-in-the-line",
         .picture = k_far,
         .hazard = {"AB street"},
         .says = "jump-in-the-line:error",
         .harmless = {"AB street"},
         .every_m = 0,
         .twin_every_m = 20},
        {.rule = "long-straight",
         .picture = k_along,
         .hazard = {"AB footpath"},
         .says = "long-straight:note",
         .harmless = {"AB footpath"},
         .every_m = 0},
        {.rule = "single-point",
         .picture = k_along,
         .hazard = {"AB footpath"},
         .says = "single-point:error",
         .harmless = {"AB footpath"},
         .walk = "X",
         .twin_walk = "AX"},
        {.rule = "several-kinds-of-line",
         .picture = k_along,
         .hazard = {"AB footpath"},
         .says = "several-kinds-of-line:warning",
         .harmless = {"AB footpath"},
         .also_in_file = "<rte><rtept lat=\"56\" lon=\"3\"/><rtept lat=\"56.001\" lon=\"3\"/></rte>"},
        {.rule = "two-ways-to-read-the-line",
         .picture = k_beside,
         .hazard = {"AB footpath", "CD highway=tertiary maxspeed=60 mph sidewalk=both", "BD street"},
         .says = "two-ways-to-read-the-line:note",
         .harmless = {"AB footpath", "CD highway=tertiary maxspeed=60 mph sidewalk=both", "BD street"},
         .twin_walk = "AB"},
    };
}

} // namespace waywarden::twins
