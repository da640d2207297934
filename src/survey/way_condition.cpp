#include "survey/way_condition.hpp"

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
    if (unit == "°") number = 100 * std::tan(std::min(number, 89.0) * std::numbers::pi / 180);
    const bool readable = unit == "%" || unit == "°" || (unit.empty() && number == 0);
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

int direction_along(const map::Way& way, std::span<const map::NodeIndex> walked) {
    int sum = 0;
    for (std::size_t i = 0; i + 1 < walked.size(); ++i)
        for (std::size_t k = 0; k + 1 < way.nodes.size(); ++k) {
            if (walked[i] == map::k_no_node || walked[i + 1] == map::k_no_node) continue;
            sum += way.nodes[k] == walked[i] && way.nodes[k + 1] == walked[i + 1];
            sum -= way.nodes[k] == walked[i + 1] && way.nodes[k + 1] == walked[i];
        }
    return sum > 0 ? 1 : sum < 0 ? -1 : 0;
}

void set_oneway_facts(Facts& facts, const map::Way& way, std::span<const map::NodeIndex> walked) {
    const OnewayOnFoot oneway = oneway_on_foot(way.object.tags);
    if (oneway.words.empty()) return;
    facts.set("oneway_on_foot", oneway.words);
    const int direction = direction_along(way, walked);
    if (direction == 0 && oneway.along != oneway.against)
        facts.set_unknown("against_oneway");
    else
        facts.set("against_oneway", direction < 0 ? !oneway.against : !oneway.along);
}

} // namespace waywarden::survey
