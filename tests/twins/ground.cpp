#include "pictures.hpp"

/// What the walk goes through.
namespace waywarden::twins {

namespace {

/// A walk from A to B over PQRS, which E and F lie on the edge of; the ways end there.
const Picture k_square{R"(
    .c...........
    .....P..Q....
    .A...E..F..B.
    .....S..R....
    .d...........
)",
                       50,
                       "AB",
                       {"cAd street", "AE footpath", "FB footpath"}};

/// A house of 24 m by 24 m over the way.
const Picture k_house{R"(
    ............
    .....P..Q....
    0.A..E..F...B
    .............
    .....S..R....
)",
                      8,
                      "AB",
                      {"0A street"}};

/// An area on which the way has no recorded right, and the same one where it has.
Twin by_right(const std::string& rule, const std::string& level, const std::string& tags) {
    return {.rule = rule,
            .picture = k_through,
            .hazard = {"AB highway=path", "PQRSP " + tags},
            .says = rule + ":" + level,
            .harmless = {"AB footpath", "PQRSP " + tags}};
}

/// An area that a public path goes through, and one 150 m beside it.
Twin by_place(const std::string& rule, const std::string& level, const std::string& tags) {
    return {.rule = rule,
            .picture = k_through,
            .hazard = {"AB footpath", "PQRSP " + tags},
            .says = rule + ":" + level,
            .harmless = {"AB footpath", "pqrsp " + tags}};
}

} // namespace

std::vector<Twin> ground_twins() {
    return {
        {.rule = "off-path-through-private-ground",
         .picture = k_open,
         .hazard = {"PQRSP landuse=farmyard"},
         .says = "farmyard-crossed:warning, off-any-path:warning, off-any-path:warning, "
                 "off-path-through-private-ground:error",
         .harmless = {"PQRSP landuse=farmland"},
         .twin_says = "off-any-path:warning"},
        {.rule = "off-any-path",
         .picture = k_square,
         .hazard = {"PQFRSEP landuse=grass"},
         .says = "off-any-path:warning",
         .harmless = {"PQFRSEP highway=pedestrian area=yes"}},
        {.rule = "off-any-path",
         .picture = k_square,
         .hazard = {"PQFRSEP area:highway=footway access=private"},
         .says = "garden-or-private-area-crossed:warning, off-any-path:warning",
         .harmless = {"PQFRSEP area:highway=footway"}},
        {.rule = "off-any-path",
         .picture = k_open,
         .hazard = {"ef footpath"},
         .says = "off-any-path:warning",
         .harmless = {"AB footpath"}},
        {.rule = "over-open-access-land",
         .picture = k_open,
         .hazard = {"ef footpath"},
         .says = "over-open-access-land:note",
         .harmless = {"AB footpath"},
         .region = "scotland"},
        by_place("military-or-danger-area", "error", "military=danger_area"),
        by_place("military-or-danger-area", "error", "landuse=military"),
        by_place("hazard-entered", "warning", "boundary=hazard hazard=contamination"),
        by_place("hazard-entered", "warning", "leisure=pitch sport=shooting"),
        {.rule = "military-or-danger-area-beside",
         .picture = k_close,
         .hazard = {"efhge military=range"},
         .says = "military-or-danger-area-beside:warning",
         .harmless = {"efhge military=bunker"}},
        {.rule = "military-or-danger-area-beside",
         .picture = k_close,
         .hazard = {"efhge landuse=military"},
         .says = "military-or-danger-area-beside:note",
         .harmless = {"efhge landuse=meadow"}},
        {.rule = "hazard-entered",
         .picture = k_close,
         .hazard = {"e man_made=mineshaft"},
         .says = "hazard-entered:warning",
         .harmless = {"e man_made=mast"}},
        {.rule = "hazard-entered",
         .picture = k_along,
         .hazard = {"AB footpath ice_road=yes"},
         .says = "hazard-entered:warning",
         .harmless = {"AB footpath ice_road=no"}},
        {.rule = "hazard-entered",
         .picture = k_along,
         .hazard = {"AB footpath flood_prone=yes"},
         .says = "hazard-entered:warning",
         .harmless = {"AB footpath flood_prone=no"}},
        by_place("hazard-entered", "warning", "leisure=pitch sport=multi;shooting"),
        by_place("hazard-entered", "warning", "leisure=track sport=motocross"),
        by_place("hazard-entered", "warning", "golf=driving_range"),
        by_place("hazard-entered", "warning", "natural=sinkhole"),
        {.rule = "hazard-entered",
         .picture = k_close,
         .hazard = {"e disused:man_made=mineshaft"},
         .says = "hazard-entered:warning",
         .harmless = {"e disused:man_made=mast"}},
        {.rule = "hazard-entered",
         .picture = k_along,
         .hazard = {"AXB footpath", "X obstacle=fallen_tree"},
         .says = "hazard-entered:warning",
         .harmless = {"AXB footpath", "C obstacle=fallen_tree"}},
        {.rule = "hazard-entered",
         .picture = k_along,
         .hazard = {"AB footpath piste:type=downhill"},
         .says = "hazard-entered:warning",
         .harmless = {"AB footpath piste:type=downhill"},
         .date = "2026-02-15",
         .start = "2026-02-15T11:00",
         .twin_date = "2026-06-15",
         .twin_start = "2026-06-15T11:00"},
        {.rule = "building-over-the-way",
         .picture = k_house,
         .hazard = {"AEFB footpath", "PQRSP building=yes"},
         .says = "building-over-the-way:note",
         .harmless = {"AE footpath", "EF footpath tunnel=building_passage", "FB footpath",
                      "PQRSP building=yes"}},
        {.rule = "building-over-the-way",
         .picture = k_house,
         .hazard = {"AEFB footpath", "PQRSP building=construction"},
         .says = "building-over-the-way:warning",
         .harmless = {"AEFB footpath", "PQRSP building=roof"}},
        by_right("farmyard-crossed", "warning", "landuse=farmyard"),
        by_right("golf-course-crossed", "warning", "leisure=golf_course"),
        by_right("school-grounds-crossed", "warning", "amenity=school"),
        by_right("garden-or-private-area-crossed", "warning", "leisure=garden access=private"),
        by_right("garden-or-private-area-crossed", "warning", "landuse=industrial"),
        by_right("garden-or-private-area-crossed", "warning", "landuse=grass access=private"),
        by_right("garden-or-private-area-crossed", "warning", "leisure=nature_reserve access=no"),
        {.rule = "garden-or-private-area-crossed",
         .picture = k_through,
         .hazard = {"AB highway=path",
                    "PQRSP leisure=nature_reserve access:conditional=no @ (Mar 01-Jul 31)"},
         .says = "garden-or-private-area-crossed:warning",
         .harmless = {"AB highway=path",
                      "PQRSP leisure=nature_reserve access:conditional=no @ (Mar 01-Jul 31)"},
         .start = "2026-06-15T09:30",
         .twin_date = "2026-08-15",
         .twin_start = "2026-08-15T09:30"},
        by_right("quarry-entered", "warning", "landuse=quarry"),
        {.rule = "hazard-entered",
         .picture = k_close,
         .hazard = {"e hazard=landslide"},
         .says = "hazard-entered:warning",
         .harmless = {"e hazard=children"}},
        {.rule = "hazard-entered",
         .picture = k_along,
         .hazard = {"AXB footpath", "X hazard=rock_slide"},
         .says = "hazard-entered:warning",
         .harmless = {"AXB footpath", "C hazard=rock_slide"}},
        {.rule = "hazard-entered",
         .picture = k_along,
         .hazard = {"AB footpath hazard=slippery"},
         .says = "hazard-entered:warning",
         .harmless = {"AB footpath hazard=no"}},
        {.rule = "runway-crossed",
         .picture = k_across,
         .hazard = {"NXS aeroway=runway"},
         .says = "runway-crossed:warning",
         .harmless = {"NXS aeroway=runway tunnel=yes"}},
        {.rule = "runway-crossed",
         .picture = k_across,
         .hazard = {"NXS aeroway=airstrip"},
         .says = "runway-crossed:warning",
         .harmless = {"NXS aeroway=airstrip abandoned=yes"}},
        {.rule = "runway-crossed",
         .picture = k_open,
         .hazard = {"NXs aeroway=taxiway"},
         .says = "off-any-path:warning, runway-crossed:error",
         .harmless = {"eN aeroway=taxiway"},
         .twin_says = "off-any-path:warning"},
        {.rule = "runway-crossed",
         .picture = k_open,
         .hazard = {"AB aeroway=runway"},
         .says = "off-any-path:warning, runway-crossed:error",
         .harmless = {"ef aeroway=runway"},
         .twin_says = "off-any-path:warning"},
        by_right("airfield-entered", "error", "aeroway=aerodrome"),
        by_place("works-area-entered", "warning", "landuse=construction"),
        by_place("glacier", "error", "natural=glacier"),
        by_place("scree", "warning", "natural=scree"),
        by_place("wetland", "note", "natural=wetland wetland=bog"),
        {.rule = "cliff-on-the-line",
         .picture = k_close,
         .hazard = {"NS natural=cliff"},
         .says = "cliff-on-the-line:warning",
         .harmless = {"gh natural=cliff"}},
        {.rule = "cliff-beside",
         .picture = k_close,
         .hazard = {"ef natural=cliff"},
         .says = "cliff-beside:warning",
         .harmless = {"gh natural=cliff"}},
    };
}

} // namespace waywarden::twins
