#include "survey/dangers.hpp"

#include "map/kinds.hpp"
#include "map/tag_words.hpp"

#include <algorithm>
#include <array>

namespace waywarden::survey {

namespace {

/// Signs put up for drivers (OSM wiki, Key:hazard); what is not named here is told.
constexpr std::array<std::string_view, 18> k_for_drivers{"animal_crossing",
                                                         "curve",
                                                         "curves",
                                                         "turn",
                                                         "turns",
                                                         "dangerous_junction",
                                                         "side_winds",
                                                         "children",
                                                         "school_zone",
                                                         "hump",
                                                         "dip",
                                                         "frail_pedestrians",
                                                         "pedestrians",
                                                         "cyclists",
                                                         "horse_riders",
                                                         "roundabout",
                                                         "traffic_signals",
                                                         "bump"};

bool has_word(std::string_view list, std::initializer_list<std::string_view> words) {
    for (const std::string& part : map::parts_of(list))
        if (std::find(words.begin(), words.end(), part) != words.end()) return true;
    return false;
}

/// The value of man_made, or what it was: a shaft out of use is as deep.
std::string_view man_made_in_any_state(const map::Tags& tags) {
    for (const char* key : {"man_made", "disused:man_made", "abandoned:man_made"})
        if (tags.has(key)) return tags.get(key);
    return "";
}

} // namespace

std::string_view hazard_of(const map::Tags& tags) {
    const auto value = tags.get("hazard");
    const bool drivers = std::find(k_for_drivers.begin(), k_for_drivers.end(), value) != k_for_drivers.end();
    return value == "no" || drivers ? std::string_view{} : value;
}

std::string_view pit_of(const map::Tags& tags) {
    const auto man_made = man_made_in_any_state(tags);
    if (man_made == "mineshaft" || tags.is("historic", "mine_shaft")) return "mine shaft";
    const auto natural = tags.get("natural");
    return natural == "sinkhole" || natural == "crevasse" || natural == "quicksand" ? natural : "";
}

bool is_motor_sport(const map::Tags& tags) {
    return (tags.has("leisure") || tags.is("highway", "raceway")) &&
           (tags.is("highway", "raceway") || has_word(tags.get("sport"), {"motor", "motocross", "karting"}));
}

bool is_shooting_ground(const map::Tags& tags) {
    return has_word(tags.get("sport"), {"shooting", "clay_pigeon_shooting", "shooting_range", "archery"}) ||
           tags.is("leisure", "shooting_ground");
}

bool is_out_of_use(const map::Tags& tags) {
    return map::yes(tags, "abandoned") || map::yes(tags, "disused");
}

} // namespace waywarden::survey
