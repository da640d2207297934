#include "pictures.hpp"

/// Walking along roads.
namespace waywarden::twins {

namespace {

/// 300 m along AB; CD is 10 m beside it, with PQ between.
const Picture k_beside{R"(
    ....C..........................................................D
    ....P..........................................................Q
    0...A............................X.............................B
)",
                       5,
                       "AB",
                       {"0A street", "AB highway=trunk maxspeed=60 mph"}};

/// A footway beside a fast road that frees nobody from it, and one that does.
Twin freed(const Objects& hazard, const Objects& harmless) {
    return {.rule = "fast-road-without-pavement",
            .picture = k_beside,
            .hazard = hazard,
            .says = "fast-road-without-pavement:error",
            .harmless = harmless,
            .twin_says = "footway-beside-the-road:note"};
}

} // namespace

std::vector<Twin> road_twins() {
    return {
        {.rule = "on-a-motorway",
         .picture = k_along,
         .hazard = {"AB highway=motorway"},
         .says = "on-a-motorway:error",
         .harmless = {"AB highway=motorway", "0CD footpath"},
         .twin_walk = "CD"},
        {.rule = "fast-road-without-pavement",
         .picture = k_along,
         .hazard = {"AB highway=tertiary maxspeed=60 mph"},
         .says = "fast-road-without-pavement:error",
         .harmless = {"AB highway=tertiary maxspeed=60 mph sidewalk=left"}},
        {.rule = "fast-road-without-pavement",
         .picture = k_along,
         .hazard = {"AB highway=trunk maxspeed=60 mph sidewalk=separate"},
         .says = "fast-road-without-pavement:error",
         .harmless = {"AB highway=trunk maxspeed=60 mph sidewalk=both"}},
        {.rule = "fast-road-without-pavement",
         .picture = k_along,
         .hazard = {"AB highway=trunk maxspeed=60 mph sidewalk:left=yes sidewalk:left:foot=no"},
         .says = "fast-road-without-pavement:error",
         .harmless = {"AB highway=trunk maxspeed=60 mph sidewalk:left=yes sidewalk:left:bicycle=no"}},
        freed({"CD highway=footway access=private"}, {"CD highway=footway"}),
        freed({"CD highway=footway foot=no"}, {"CD highway=footway access=no foot=yes"}),
        freed({"CD highway=footway footway=sidewalk access=no"}, {"CD highway=footway footway=sidewalk"}),
        freed({"CD highway=cycleway foot=no"}, {"CD highway=cycleway foot=designated"}),
        freed({"CD highway=footway access=no designation=public_footpath"},
              {"CD highway=footway access=permissive"}),
        freed({"CD highway=footway foot:conditional=no @ wet"},
              {"CD highway=footway bicycle:conditional=no @ wet"}),
        freed({"CD highway=footway tunnel=yes layer=-1"}, {"CD highway=footway covered=yes"}),
        freed({"CD highway=footway bridge=yes layer=2"}, {"CD highway=footway layer=0"}),
        freed({"CD highway=footway level=1 indoor=yes"}, {"CD highway=footway level=0"}),
        freed({"CD highway=path construction=yes"}, {"CD highway=path construction=no"}),
        freed({"CD highway=path sac_scale=demanding_alpine_hiking"}, {"CD highway=path sac_scale=hiking"}),
        freed({"CD highway=footway footway=crossing"}, {"CD highway=footway footway=sidewalk"}),
        freed({"CD highway=footway", "PQ waterway=river"},
              {"CD highway=footway", "PQ waterway=river tunnel=culvert"}),
        freed({"CD highway=footway footway=sidewalk", "PQ waterway=canal"},
              {"CD highway=footway footway=sidewalk", "PQ waterway=ditch"}),
        freed({"CD highway=footway", "PQ barrier=wall"}, {"CD highway=footway", "PQ barrier=guard_rail"}),
        {.rule = "fast-road-without-pavement",
         .picture = k_beside,
         .hazard = {"CX highway=footway"},
         .says = "fast-road-without-pavement:error, footway-beside-the-road:note",
         .harmless = {"CD highway=footway"},
         .twin_says = "footway-beside-the-road:note"},
        {.rule = "fast-road-without-pavement",
         .picture = k_across,
         .hazard = {"NXS highway=tertiary maxspeed=60 mph"},
         .says = "fast-road-without-pavement:error",
         .harmless = {"NXS highway=tertiary maxspeed=60 mph"},
         .walk = "NXB",
         .twin_walk = "XB"},
        {.rule = "main-road-without-pavement",
         .picture = k_along,
         .hazard = {"AB highway=secondary"},
         .says = "main-road-without-pavement:error",
         .harmless = {"AB highway=secondary sidewalk=both"}},
        {.rule = "lane-with-presumed-limit",
         .picture = k_along,
         .hazard = {"AB highway=unclassified"},
         .says = "lane-with-presumed-limit:note",
         .harmless = {"AB highway=unclassified maxspeed=20 mph"}},
        {.rule = "footway-beside-the-road",
         .picture = k_beside,
         .hazard = {"CD highway=footway"},
         .says = "footway-beside-the-road:note",
         .harmless = {"ACD highway=footway"},
         .twin_walk = "ACD"},
        {.rule = "speed-limits-contradict",
         .picture = k_along,
         .hazard = {"AB highway=unclassified maxspeed=30 mph maxspeed:type=GB:nsl_single"},
         .says = "road-without-pavement:note, speed-limits-contradict:warning",
         .harmless = {"AB highway=unclassified maxspeed=30 mph maxspeed:type=sign"},
         .twin_says = "road-without-pavement:note"},
        {.rule = "road-without-pavement",
         .picture = k_along,
         .hazard = {"AB highway=unclassified maxspeed=30 mph sidewalk=no"},
         .says = "road-without-pavement:note",
         .harmless = {"AB highway=unclassified maxspeed=30 mph sidewalk=right"}},
        {.rule = "speed-limit-unreadable",
         .picture = k_along,
         .hazard = {"AB street maxspeed=fast"},
         .says = "speed-limit-unreadable:note",
         .harmless = {"AB street maxspeed=30"}},
    };
}

} // namespace waywarden::twins
