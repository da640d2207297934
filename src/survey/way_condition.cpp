#include "survey/way_condition.hpp"

#include "map/tag_words.hpp"
#include "survey/way_facts.hpp"

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

} // namespace waywarden::survey
