#include "map/right_reading.hpp"
#include "map/tag_reading.hpp"
#include "map/tag_words.hpp"

#include <algorithm>
#include <initializer_list>

namespace waywarden::map {

namespace {

using Word = std::string_view;

/// Something stands there that the words may be about, and not the way.
bool is_a_place_of_its_own(const Tags& tags) {
    for (const Word key : {"amenity", "shop", "tourism", "office", "craft", "leisure", "healthcare", "club",
                           "emergency", "historic", "information"})
        if (tags.has(key)) return true;
    return false;
}

/// An access word on a node without a barrier is meant for walkers too where nothing speaks of vehicles.
bool bars_all(const Tags& tags) {
    if (!among(tags.get("access"), {"no", "private"}) || is_a_place_of_its_own(tags)) return false;
    for (const Word key : {"vehicle", "motor_vehicle", "motorcar", "bicycle", "bus", "psv", "horse", "hgv"})
        if (tags.has(key)) return false;
    return true;
}

/// OSM wiki, Key:crossing: a place where nobody may, or can, cross. Of a road crossing "no" only says that
/// there is none.
bool bars_crossing(const Tags& tags) {
    return tags.is("crossing", "prohibited") ||
           (tags.is("crossing", "no") && among(tags.get("railway"), {"crossing", "level_crossing"}));
}

} // namespace

bool may_bar_walkers(const Tags& tags) {
    return tags.has("barrier") || tags.has("foot") || tags.has("foot:conditional") ||
           tags.has("access:conditional") || (tags.has("opening_hours") && !is_a_place_of_its_own(tags)) ||
           bars_all(tags) || bars_crossing(tags) || tags.is("kerb", "raised");
}

namespace {

/// Source: OSM wiki, Key:barrier. A kind that is not known here lets nobody through.
bool lets_through(const std::string& kind) {
    return among(kind, {"gate",
                        "kissing_gate",
                        "stile",
                        "horse_stile",
                        "swing_gate",
                        "lift_gate",
                        "bump_gate",
                        "sliding_gate",
                        "hampshire_gate",
                        "wicket_gate",
                        "sally_port",
                        "entrance",
                        "bollard",
                        "cycle_barrier",
                        "motorcycle_barrier",
                        "block",
                        "cattle_grid",
                        "turnstile",
                        "full-height_turnstile",
                        "toll_booth",
                        "height_restrictor",
                        "chain",
                        "rope",
                        "log",
                        "kerb",
                        "planter",
                        "bar",
                        "bus_trap",
                        "border_control",
                        "squeezer",
                        "kent_carriage_gap",
                        "sump_buster",
                        "step_over",
                        "gap",
                        "width_restrictor",
                        "lych_gate",
                        "wicket",
                        "door"});
}

} // namespace

BarrierReading read_barrier(const Tags& tags, const std::optional<At>& when) {
    BarrierReading out;
    if (yes(tags, "barrier")) out.kind = tags.get("barrier");
    if (out.kind.empty() && tags.is("kerb", "raised")) out.kind = "kerb";
    if (tags.is("locked", "yes")) out.locked = true;
    if (tags.is("locked", "no")) out.locked = false;
    out.right = right_of_barrier(tags, when);
    if (out.right.right != Right::forbidden && bars_crossing(tags))
        out.right = {Right::forbidden,
                     Grade::recorded,
                     std::string(tags.get("crossing")),
                     {"crossing=" + std::string(tags.get("crossing"))},
                     false};
    // Of several kinds at one place the walkers choose the one that lets them through.
    const auto kinds = parts_of(out.kind);
    out.passable_by_kind = kinds.empty() || std::any_of(kinds.begin(), kinds.end(), lets_through);
    return out;
}

} // namespace waywarden::map
