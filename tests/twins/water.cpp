#include "pictures.hpp"

/// Water crossed and entered, and the tide.
namespace waywarden::twins {

namespace {

const Objects k_bridge{"AP footpath", "PQ footpath bridge=yes layer=1", "QB footpath"};

Objects over_a_bridge(const std::string& crossed) {
    Objects out = k_bridge;
    out.push_back(crossed);
    return out;
}

/// Tidal ground PQRS 20 m beside the walk, pqrs 120 m beside it.
const Picture k_shore{R"(
    ...p......q..
    ...s......r..
    .............
    .............
    .............
    .............
    ...P......Q..
    ...S......R..
    0.A........B.
)",
                      20,
                      "AB",
                      {"0A street", "AB footpath"}};

/// A walk of 240 m from A to B through a lake or river pqrs, 100 m wide, from P to Q; M is 60 m on the way
/// through it, N 90 m.
const Picture k_lake{R"(
    ...................
    .c.................
    .......p.........q.
    .A.....P.....M..NQ.....B
    .......s.........r.
    .d.................
)",
                     10,
                     "AB",
                     {"cAd street"}};

/// A walk of 340 m from A to B by J to M, of which K lies aside; water or land klmno beyond, whose edge is
/// JKLM where the drawing says so; E is on the far side.
const Picture k_bank{R"(
    .......................
    .c.....................
    ........K.....L........
    .A...J...........M.....B
    .d...n...........o......
    ...........E............
)",
                     15,
                     "AB",
                     {"cAd street"}};

} // namespace

std::vector<Twin> water_twins() {
    return {
        {.rule = "water-with-no-way-over",
         .picture = k_over,
         .hazard = {"APQB footpath", "NS waterway=river"},
         .says = "water-with-no-way-over:error",
         .harmless = over_a_bridge("NS waterway=river")},
        {.rule = "water-with-no-way-over",
         .picture = k_over,
         .hazard = {"AP footpath", "PQ footpath bridge=collapsed layer=1", "QB footpath",
                    "NS waterway=river"},
         .says = "bridge-out-of-use:error, water-with-no-way-over:error",
         .harmless = {"AP footpath", "PQ footpath bridge=boardwalk layer=1", "QB footpath",
                      "NS waterway=river"}},
        {.rule = "water-with-no-way-over", // a list of two; a dam carries the path
         .picture = k_lake,
         .hazard = {"APMNQB footpath", "pMr waterway=river;canal"},
         .says = "water-with-no-way-over:error",
         .harmless = {"APMNQB footpath", "pMr waterway=river;canal", "pqrsp waterway=dam"}},
        {.rule = "water-with-no-way-over", // a causeway through a lake, no other path
         .picture = k_lake,
         .hazard = {"APMNQB footpath", "pqrsp natural=water water=lake"},
         .says = "water-with-no-way-over:error",
         .harmless = {"APMNQB footpath embankment=yes", "pqrsp natural=water water=lake"}},
        {.rule = "water-with-no-way-over", // a dry basin; a dock is none
         .picture = k_lake,
         .hazard = {"APMNQB footpath", "pqrsp waterway=dock"},
         .says = "water-with-no-way-over:error",
         .harmless = {"APMNQB footpath", "pqrsp landuse=basin basin=infiltration"}},
        {.rule = "water-with-no-way-over", // a reservoir with a lid
         .picture = k_lake,
         .hazard = {"APMNQB footpath", "pqrsp landuse=reservoir"},
         .says = "water-with-no-way-over:error",
         .harmless = {"APMNQB footpath", "pqrsp landuse=reservoir covered=yes"}},
        {.rule = "way-runs-through-water", // one line for the path and for the water
         .picture = k_over,
         .hazard = {"AP footpath", "PQ footpath waterway=stream", "QB footpath"},
         .says = "way-runs-through-water:warning",
         .harmless = {"AP footpath", "PQ footpath waterway=dam", "QB footpath"}},
        {.rule = "bridge-out-of-use", // a word that is not known for a bridge
         .picture = k_over,
         .hazard = {"AP footpath", "PQ footpath bridge=sagging layer=1", "QB footpath", "NS waterway=river"},
         .says = "bridge-out-of-use:error, water-with-no-way-over:error",
         .harmless = {"AP footpath", "PQ footpath bridge=Viaduct;covered layer=1", "QB footpath",
                      "NS waterway=river"}},
        {.rule = "bridge-out-of-use", // a bridge of one's own, of which another tag says that it has fallen
         .picture = k_over,
         .hazard = {"AP footpath", "PQ footpath bridge=yes bridge:condition=collapsed layer=1", "QB footpath",
                    "NS waterway=stream"},
         .says = "bridge-out-of-use:error, stream-with-no-way-over:note",
         .harmless = {"AP footpath", "PQ footpath bridge=yes bridge:condition=poor layer=1", "QB footpath",
                      "NS waterway=stream"}},
        {.rule = "water-with-no-way-over", // the outline of a bridge that is no more
         .picture = k_lake,
         .hazard = {"APMNQB footpath", "pqrsp natural=water water=lake",
                    "pqrsp man_made=bridge demolished=yes"},
         .says = "water-with-no-way-over:error",
         .harmless = {"APMNQB footpath", "pqrsp natural=water water=lake", "pqrsp man_made=bridge"}},
        {.rule = "water-with-no-way-over", // a bridge over part of the lake
         .picture = k_lake,
         .hazard = {"AP footpath", "PM footpath bridge=yes layer=1", "MNQB footpath",
                    "pqrsp natural=water water=lake"},
         .says = "water-with-no-way-over:error",
         .harmless = {"AP footpath", "PMN footpath bridge=yes layer=1", "NQB footpath",
                      "pqrsp natural=water water=lake"}},
        {.rule = "water-with-no-way-over", // a ferry over the rest of it; it lands on slips of up to 50 m
         .picture = k_lake,
         .hazard = {"APM footpath", "MNQ route=ferry foot=yes", "QB footpath",
                    "pqrsp natural=water water=lake"},
         .says = "depends-on-a-ferry:warning, water-with-no-way-over:error",
         .harmless = {"AP footpath", "PM route=ferry foot=yes", "MNQB footpath",
                      "pqrsp natural=water water=lake"},
         .twin_says = "depends-on-a-ferry:warning"},
        {.rule = "water-with-no-way-over", // a path that shares its points with the lake's edge
         .picture = k_bank,
         .hazard = {"AJMB footpath", "JKLMJ natural=water water=lake", "JnoMJ natural=water water=lake"},
         .says = "water-with-no-way-over:error",
         .harmless = {"AJKLMB footpath", "JKLMonJ natural=water water=lake"},
         .twin_walk = "AJKLMB"},
        {.rule = "water-with-no-way-over", // and with the coastline
         .picture = k_bank,
         .hazard = {"AJMB footpath", "nJKLMo natural=coastline"},
         .says = "water-with-no-way-over:error",
         .harmless = {"AJKLMB footpath", "nJKLMo natural=coastline"},
         .twin_walk = "AJKLMB"},
        {.rule = "tidal-area-entered",
         .picture = k_bank,
         .hazard = {"AJMB footpath", "JKLMonJ natural=wetland wetland=tidalflat"},
         .says = "tidal-area-entered:error",
         .harmless = {"AJKLMB footpath", "JKLMonJ natural=wetland wetland=tidalflat"},
         .twin_says = "tidal-area-beside:note",
         .twin_walk = "AJKLMB"},
        {.rule = "stream-with-no-way-over-off-path",
         .picture = k_open,
         .hazard = {"NXs waterway=stream"},
         .says = "off-any-path:warning, stream-with-no-way-over-off-path:warning",
         .harmless = {"NXs waterway=stream tunnel=culvert"},
         .twin_says = "off-any-path:warning"},
        {.rule = "stream-with-no-way-over",
         .picture = k_across,
         .hazard = {"NS waterway=stream"},
         .says = "stream-with-no-way-over:note",
         .harmless = {"NS waterway=stream tunnel=culvert layer=-1"}},
        {.rule = "ford",
         .picture = k_over,
         .hazard = {"APXQB footpath", "NXS waterway=stream", "X ford=yes"},
         .says = "ford:warning",
         .harmless = over_a_bridge("NXS waterway=stream")},
        {.rule =
             "ford", // the stream is not mapped (OSM wiki, Key:ford: a node of the way is the common form)
         .picture = k_over,
         .hazard = {"APXQB footpath", "X ford=stepping_stones"},
         .says = "ford:warning",
         .harmless = {"APXQB footpath", "X ford=no"}},
        {.rule = "ford", // the tide comes and goes
         .picture = k_over,
         .hazard = {"APXQB footpath", "X highway=ford tidal=yes"},
         .says = "ford:error",
         .harmless = {"APXQB footpath", "X highway=crossing"}},
        {.rule = "ford", // the river says so, not the node
         .picture = k_over,
         .hazard = {"APXQB footpath", "NXS waterway=river ford=yes"},
         .says = "ford:error",
         .harmless = over_a_bridge("NXS waterway=river ford=yes")},
        {.rule = "ford", // in a river drawn as an area alone
         .picture = k_lake,
         .hazard = {"APMNQB footpath", "pqrsp natural=water water=river", "M ford=yes"},
         .says = "ford:error",
         .harmless = {"AP footpath", "PMNQ footpath bridge=yes", "QB footpath",
                      "pqrsp natural=water water=river"}},
        {.rule = "way-runs-through-water",
         .picture = k_over,
         .hazard = {"AP footpath", "PXQ footpath ford=yes", "QB footpath"},
         .says = "way-runs-through-water:warning",
         .harmless = {"AP footpath", "PXQ footpath ford=no", "QB footpath"}},
        {.rule = "line-through-water",
         .picture = k_open,
         .hazard = {"PQRSP natural=water water=lake"},
         .says = "line-through-water:error, off-any-path:warning, off-any-path:warning, "
                 "water-with-no-way-over:error",
         .harmless = {"PQRSP natural=water water=lake", "ANfB footpath"},
         .twin_walk = "UVANfB"},
        {.rule = "depends-on-a-ferry",
         .picture = k_open,
         .hazard = {"PQRSP natural=water water=lake", "AB route=ferry foot=yes"},
         .says = "depends-on-a-ferry:warning",
         .harmless = {"PQRSP natural=water water=lake", "AB footpath bridge=yes"}},
        {.rule = "covered-by-the-tide",
         .picture = k_along,
         .hazard = {"AB footpath tidal=yes"},
         .says = "covered-by-the-tide:error",
         .harmless = {"AB footpath tidal=no"}},
        {.rule = "tidal-area-entered",
         .picture = k_through,
         .hazard = {"AB footpath", "PQRSP natural=wetland wetland=tidalflat"},
         .says = "tidal-area-entered:error",
         .harmless = {"AB footpath", "pqrsp natural=wetland wetland=tidalflat"}},
        {.rule = "tidal-area-beside",
         .picture = k_shore,
         .hazard = {"PQRSP natural=wetland wetland=tidalflat"},
         .says = "tidal-area-beside:note",
         .harmless = {"pqrsp natural=wetland wetland=tidalflat"}},
    };
}

} // namespace waywarden::twins
