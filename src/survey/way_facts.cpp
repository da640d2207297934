#include "survey/way_facts.hpp"

#include "map/tag_words.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace waywarden::survey {

namespace {

/// What the table writes where the map says that there is no limit.
constexpr double k_no_limit_kmh = 999;

constexpr std::array<std::string_view, 82> k_counting_keys{"highway",
                                                           "railway",
                                                           "waterway",
                                                           "natural",
                                                           "landuse",
                                                           "leisure",
                                                           "military",
                                                           "barrier",
                                                           "name",
                                                           "ref",
                                                           "prow_ref",
                                                           "designation",
                                                           "foot",
                                                           "access",
                                                           "vehicle",
                                                           "motor_vehicle",
                                                           "motorroad",
                                                           "oneway",
                                                           "dual_carriageway",
                                                           "lanes",
                                                           "lit",
                                                           "surface",
                                                           "width",
                                                           "bridge",
                                                           "tunnel",
                                                           "layer",
                                                           "ford",
                                                           "culvert",
                                                           "tidal",
                                                           "intermittent",
                                                           "seasonal",
                                                           "water",
                                                           "wetland",
                                                           "sac_scale",
                                                           "cai_scale",
                                                           "trail_visibility",
                                                           "locked",
                                                           "crossing",
                                                           "crossing_ref",
                                                           "footway",
                                                           "path",
                                                           "cycleway",
                                                           "service",
                                                           "tracktype",
                                                           "construction",
                                                           "proposed",
                                                           "disused",
                                                           "abandoned",
                                                           "hazard",
                                                           "danger",
                                                           "boundary",
                                                           "amenity",
                                                           "aeroway",
                                                           "building",
                                                           "man_made",
                                                           "golf",
                                                           "check_date",
                                                           "survey:date",
                                                           "source:maxspeed",
                                                           "ladder",
                                                           "opening_hours",
                                                           "wheelchair",
                                                           "stroller",
                                                           "maxwidth:physical",
                                                           "kerb",
                                                           "kerb:height",
                                                           "entrance",
                                                           "removed",
                                                           "collapsed",
                                                           "closed",
                                                           "planned",
                                                           "operational_status",
                                                           "start_date",
                                                           "end_date",
                                                           "opening_date",
                                                           "smoothness",
                                                           "tracktype",
                                                           "incline",
                                                           "obstacle",
                                                           "overgrown",
                                                           "informal",
                                                           "dog"};

constexpr std::array<std::string_view, 16> k_counting_prefixes{
    "maxspeed",   "sidewalk",         "foot:",       "access:",   "crossing:", "construction:",
    "disused:",   "abandoned:",       "proposed:",   "military:", "hazard:",   "pavement",
    "suspected:", "bridge:condition", "bridge:stat", "temporary:"};

bool counts(std::string_view key) {
    if (key.size() > 12 && key.substr(key.size() - 12) == ":conditional") return true;
    return std::find(k_counting_keys.begin(), k_counting_keys.end(), key) != k_counting_keys.end() ||
           std::any_of(k_counting_prefixes.begin(), k_counting_prefixes.end(),
                       [key](std::string_view prefix) { return key.substr(0, prefix.size()) == prefix; });
}

void set_number(Facts& facts, std::string_view name, std::optional<double> value) {
    if (value && std::isfinite(*value))
        facts.set(name, *value);
    else
        facts.set_unknown(name);
}

/// Lanes and streets on which the map says that no motor runs at any time; main roads are not believed to be
/// such, and where a further key lets some in, the road is like any other. The limit is the law's all the
/// same. Source: OSM wiki, Key:motor_vehicle, from memory.
bool is_closed_to_motors(const map::Tags& tags) {
    static constexpr std::array<std::string_view, 6> k_small{"unclassified",  "residential", "tertiary",
                                                             "living_street", "service",     "road"};
    static constexpr std::array<std::string_view, 12> k_let_in{"motorcar",     "motorcycle",
                                                               "moped",        "psv",
                                                               "bus",          "taxi",
                                                               "hgv",          "goods",
                                                               "agricultural", "motor_vehicle:conditional",
                                                               "tourist_bus",  "vehicle:conditional"};
    if (std::find(k_small.begin(), k_small.end(), tags.get("highway")) == k_small.end()) return false;
    const bool closed =
        tags.is("motor_vehicle", "no") || (tags.is("vehicle", "no") && !tags.has("motor_vehicle"));
    return closed && std::none_of(k_let_in.begin(), k_let_in.end(),
                                  [&](std::string_view key) { return map::yes(tags, key); });
}

void set_speed(Facts& facts, const map::SpeedReading& speed) {
    std::optional<double> limit = speed.limit_kmh;
    if (limit && std::isinf(*limit)) limit = k_no_limit_kmh;
    set_number(facts, "speed_limit_kmh", limit);
    set_choice(facts, "speed_limit_source", map::to_string(speed.grade));
    set_text(facts, "speed_limit", limit ? speed.words : "");
    facts.set("speed_unreadable", speed.unreadable);
    if (speed.conflicting) facts.set("speed_contradicted", true);
}

} // namespace

void set_text(Facts& facts, std::string_view name, std::string_view value) {
    if (value.empty())
        facts.set_unknown(name);
    else
        facts.set(name, std::string(value));
}

void set_flag(Facts& facts, std::string_view name, const std::optional<bool>& value) {
    if (value)
        facts.set(name, *value);
    else
        facts.set_unknown(name);
}

void set_choice(Facts& facts, std::string_view name, std::string_view value) {
    const auto& choices = find_fact(name)->choices;
    const auto has = [&](std::string_view word) {
        return std::find(choices.begin(), choices.end(), word) != choices.end();
    };
    if (has(value))
        facts.set(name, std::string(value));
    else if (!value.empty() && has("other"))
        facts.set(name, std::string("other"));
    else
        facts.set_unknown(name);
}

std::string name_of(const map::Tags& tags) {
    const auto name = tags.get("name"), ref = tags.get("ref"), prow = tags.get("prow_ref");
    return std::string(!name.empty() ? name : !ref.empty() ? ref : prow);
}

Evidence evidence_of(const map::Object& object) {
    Evidence out{object.id, {}, object.edited_s};
    for (const auto& tag : object.tags.pairs())
        if (counts(tag.first)) out.tags.push_back(tag);
    return out;
}

void set_way_facts(Facts& facts, const map::Tags& tags, const map::WayFacts& way) {
    set_text(facts, "name", name_of(tags));
    set_text(facts, "highway", map::highway_class(tags));
    set_choice(facts, "lifecycle", way.lifecycle.empty() ? "in_use" : std::string_view(way.lifecycle));
    if (map::line_kind(tags) == map::LineKind::road) {
        set_speed(facts, way.speed);
        if (is_closed_to_motors(tags)) facts.set("closed_to_motors", true);
    }
    set_number(facts, "lanes", way.lanes ? std::optional(static_cast<double>(*way.lanes)) : std::nullopt);
    set_flag(facts, "oneway", way.oneway);
    set_flag(facts, "dual_carriageway", way.dual_carriageway);
    set_flag(facts, "lit", way.lit);
    set_text(facts, "surface", way.surface);
    set_number(facts, "width_m", way.width_m);
    facts.set("tidal", way.tidal);
}

void set_stretch_way_facts(Facts& facts, const map::WayFacts& way) {
    facts.set("bridge", way.bridge);
    if (!way.bridge_as.word.empty()) facts.set("bridge_word", way.bridge_as.word);
    facts.set("tunnel", way.tunnel);
    facts.set("ford", way.ford);
    facts.set("steps", way.steps);
    facts.set("via_ferrata", way.via_ferrata);
    set_choice(facts, "right", map::to_string(way.right.right));
    set_text(facts, "right_value", way.right.value);
    facts.set("right_conflict", way.right.conflicting);
    if (way.pavement != map::Pavement::unknown)
        set_choice(facts, "pavement", map::to_string(way.pavement));
    else
        facts.set_unknown("pavement");
    set_choice(facts, "trail_visibility", way.trail_visibility);
    set_text(facts, "grade_unread", way.grade_unread);
    const auto grade = std::find(map::k_sac_scale.begin(), map::k_sac_scale.end(), way.sac_scale);
    set_choice(facts, "sac_scale", way.sac_scale);
    set_number(facts, "sac_grade",
               grade == map::k_sac_scale.end()
                   ? std::nullopt
                   : std::optional(static_cast<double>(grade - map::k_sac_scale.begin())));
    std::string conditional;
    for (const auto& [key, value] : way.conditional)
        conditional += (conditional.empty() ? "" : "; ") + key + "=" + value;
    set_text(facts, "conditional", conditional);
}

} // namespace waywarden::survey
