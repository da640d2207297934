#include "pictures.hpp"

/// Walking along roads.
namespace waywarden::twins {

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
