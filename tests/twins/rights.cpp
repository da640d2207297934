#include "pictures.hpp"

/// The right to walk, and when it holds.
namespace waywarden::twins {

std::vector<Twin> right_twins() {
    return {
        {.rule = "walking-forbidden",
         .picture = k_along,
         .hazard = {"AB highway=footway foot=no"},
         .says = "walking-forbidden:error",
         .harmless = {"AB highway=footway foot=yes"}},
        {.rule = "private-way",
         .picture = k_along,
         .hazard = {"AB highway=track access=private"},
         .says = "private-way:warning",
         .harmless = {"AB highway=track access=private designation=public_footpath foot=designated"}},
        {.rule = "no-right-recorded",
         .picture = k_along,
         .hazard = {"AB highway=track"},
         .says = "no-right-recorded:note",
         .harmless = {"AB highway=track designation=public_bridleway"}},
        {.rule = "no-right-recorded",
         .picture = k_along,
         .hazard = {"AB highway=track"},
         .says = "no-right-recorded:note",
         .harmless = {"AB highway=track"},
         .twin_region = "scotland"},
        {.rule = "right-in-conflict",
         .picture = k_along,
         .hazard = {"AB footpath foot=no"},
         .says = "right-in-conflict:warning, walking-forbidden:error",
         .harmless = {"AB footpath foot=yes"}},
        {.rule = "against-one-way-on-foot",
         .picture = k_along,
         .hazard = {"BA footpath oneway:foot=yes"},
         .says = "against-one-way-on-foot:error",
         .harmless = {"AB footpath oneway:foot=yes"}},
    };
}

std::vector<Twin> time_twins() {
    const std::string nesting = " foot:conditional=no @ (Mar 01-Jul 31)";
    return {
        {.rule = "closed-when-passing",
         .picture = k_along,
         .hazard = {"AB footpath" + nesting},
         .says = "closed-when-passing:error",
         .harmless = {"AB footpath" + nesting},
         .start = "2026-06-15T09:30",
         .twin_date = "2026-08-15",
         .twin_start = "2026-08-15T09:30"},
        {.rule = "closing-cannot-be-told",
         .picture = k_along,
         .hazard = {"AB footpath foot:conditional=no @ wet"},
         .says = "closing-cannot-be-told:warning",
         .harmless = {"AB footpath vehicle:conditional=no @ wet"},
         .start = "2026-06-15T09:30"},
        {.rule = "restricted-at-times",
         .picture = k_along,
         .hazard = {"AB footpath" + nesting},
         .says = "restricted-at-times:note",
         .harmless = {"AB footpath" + nesting},
         .twin_date = "2026-08-15",
         .twin_start = "2026-08-15T09:30"},
        {.rule = "gate-closed-when-passing",
         .picture = k_along,
         .hazard = {"AXB footpath", "X barrier=gate opening_hours=10:00-16:00"},
         .says = "gate-closed-when-passing:error",
         .harmless = {"AXB footpath", "X barrier=gate opening_hours=10:00-16:00"},
         .start = "2026-06-15T08:30",
         .twin_start = "2026-06-15T10:30"},
        {.rule = "gate-perhaps-closed",
         .picture = k_along,
         .hazard = {"AXB footpath", "X barrier=gate opening_hours=sunrise-18:00; PH off"},
         .says = "gate-perhaps-closed:warning",
         .harmless = {"AXB footpath", "X barrier=gate opening_hours=24/7"},
         .start = "2026-06-15T08:30"},
        {.rule = "gate-closed-at-times",
         .picture = k_along,
         .hazard = {"AXB footpath", "X barrier=gate opening_hours=10:00-16:00"},
         .says = "gate-closed-at-times:note",
         .harmless = {"AXB footpath", "X barrier=gate opening_hours=24/7"}},
    };
}

} // namespace waywarden::twins
