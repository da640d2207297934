#include "survey/way_condition.hpp"

#include "map/tag_reading.hpp"
#include "map/tag_words.hpp"
#include "survey/way_facts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace waywarden::survey {

namespace {

/// "yes" and its kin, "no"; else unknown.
std::optional<bool> flag_of(const map::Tags& tags, std::string_view key) {
    if (map::yes(tags, key)) return true;
    return tags.is(key, "no") ? std::optional(false) : std::nullopt;
}

} // namespace

std::optional<double> incline_pct(std::string_view value) {
    constexpr double k_steepest_pct = 200;
    double number = 0;
    std::string unit;
    if (!map::number_and_unit(map::tidied(value), number, unit)) return std::nullopt;
    number = std::abs(number);
    if (unit == "°" && number <= 90) // as steep as it may be: a ladder is a way too
        return 100 * std::tan(std::min(number, 89.0) * std::numbers::pi / 180);
    const bool readable = unit == "%" || (unit.empty() && number == 0);
    return readable && number <= k_steepest_pct ? std::optional(number) : std::nullopt;
}

void set_condition_facts(Facts& facts, const map::Tags& tags) {
    for (const char* key : {"smoothness", "tracktype", "obstacle"})
        if (const std::string value = map::tidied(tags.get(key)); !value.empty() && value != "no")
            facts.set(key, value);
    for (const char* key : {"overgrown", "informal"})
        if (const auto flag = flag_of(tags, key)) facts.set(key, *flag);
    if (const auto incline = incline_pct(tags.get("incline"))) facts.set("incline_pct", *incline);
    const std::string dog = map::tidied(tags.get("dog"));
    if (!dog.empty())
        set_choice(facts, "dogs_allowed", dog == "leash" || dog == "on_leash" ? "leashed" : dog);
    set_wheel_facts(facts, tags);
}

void set_wheel_facts(Facts& facts, const map::Tags& tags) {
    for (const auto& [fact, key] :
         {std::pair{"wheelchair", "wheelchair"}, std::pair{"pushchair", "stroller"}})
        if (const std::string word = map::tidied(tags.get(key)); !word.empty())
            set_choice(facts, fact, word == "designated" ? "yes" : word);
    if (const auto gap_m = map::read_metres(tags.get("maxwidth:physical"))) facts.set("gap_m", *gap_m);
}

OnewayOnFoot oneway_on_foot(const map::Tags& tags) {
    OnewayOnFoot out;
    for (const auto& [key, allowed] :
         {std::pair{"foot:forward", &out.along}, std::pair{"foot:backward", &out.against}}) {
        if (!tags.is(key, "no") && !tags.is(key, "private")) continue;
        *allowed = false;
        out.words += fmt::format("{}{}={}", out.words.empty() ? "" : "; ", key, tags.get(key));
    }
    const bool reversed = tags.is("oneway:foot", "-1") || tags.is("oneway:foot", "reverse");
    if (reversed || map::yes(tags, "oneway:foot")) {
        (reversed ? out.along : out.against) = false;
        out.words += fmt::format("{}oneway:foot={}", out.words.empty() ? "" : "; ", tags.get("oneway:foot"));
    }
    return out;
}

WalkedAlong walked_along(const Scene& scene, map::WayIndex way, std::span<const match::TracePoint> walked) {
    constexpr double k_on_way_m = 1;
    WalkedAlong out;
    const auto& nodes = scene.way(way).nodes;
    for (std::size_t i = 0; i + 1 < walked.size(); ++i) {
        const auto a = scene.frame().to_plane(walked[i].position);
        const auto b = scene.frame().to_plane(walked[i + 1].position);
        for (std::size_t k = 0; k + 1 < nodes.size(); ++k) {
            const auto p = scene.node_at(nodes[k]), q = scene.node_at(nodes[k + 1]);
            const auto from = geo::nearest_on_segment(a, p, q), to = geo::nearest_on_segment(b, p, q);
            if (from.distance_m > k_on_way_m || to.distance_m > k_on_way_m) continue;
            const double metres = (to.fraction - from.fraction) * geo::length_m(q - p);
            (metres > 0 ? out.along_m : out.against_m) += std::abs(metres);
        }
    }
    return out;
}

void set_oneway_facts(Facts& facts, const Scene& scene, map::WayIndex way,
                      std::span<const match::TracePoint> walked) {
    const OnewayOnFoot oneway = oneway_on_foot(scene.tags(way));
    if (oneway.words.empty()) return;
    facts.set("oneway_on_foot", oneway.words);
    const WalkedAlong metres = walked_along(scene, way, walked);
    // Over a few metres a drawn line may seem to go back; where it goes farther both ways, each counts.
    const double counts_m = std::min(5.0, 0.5 * (metres.along_m + metres.against_m));
    if (oneway.along != oneway.against && metres.along_m == metres.against_m)
        facts.set_unknown("against_oneway");
    else
        facts.set("against_oneway", (!oneway.along && metres.along_m >= counts_m) ||
                                        (!oneway.against && metres.against_m >= counts_m));
}

} // namespace waywarden::survey
