#include "map/tag_reading.hpp"

#include "map/right_reading.hpp"
#include "map/speed_reading.hpp"
#include "map/tag_words.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <initializer_list>

namespace waywarden::map {

namespace {

using Word = std::string_view;

/// One side of a road, or both together.
enum class Side { unset, none, yes, separate };

Side side_of(const std::string& word) {
    if (among(word, {"yes", "both"})) return Side::yes;
    if (among(word, {"separate", "separated"})) return Side::separate;
    // a lane painted on the carriageway is no pavement
    if (among(word, {"no", "none", "lane"})) return Side::none;
    return Side::unset;
}

struct Sides {
    Side left = Side::unset, right = Side::unset;
    bool somewhere = false; ///< a pavement on a side that is not told
};

/// sidewalk=left;right and the like. Source: OSM wiki, Key:sidewalk.
void read_overall(Word value, Sides& sides) {
    bool left = false, right = false;
    for (const std::string& word : parts_of(value)) {
        if (word == "left" || word == "both") left = true;
        if (word == "right" || word == "both") right = true;
        if (word == "yes") sides.somewhere = true;
        if (const Side side = side_of(word); side == Side::none || side == Side::separate)
            sides.left = sides.right = side;
    }
    if (!left && !right) return;
    sides.left = left ? Side::yes : Side::none;
    sides.right = right ? Side::yes : Side::none;
}

/// A pavement of which the road says that walkers may not use it. Source: OSM wiki, Key:sidewalk (sub-keys
/// such as sidewalk:left:foot), from memory.
void close_to_walkers(const Tags& tags, Sides& sides) {
    const auto closed = [&](Word key) {
        return among(tidied(tags.get(key)), {"no", "private", "use_sidepath"});
    };
    const bool both = closed("sidewalk:foot") || closed("sidewalk:both:foot");
    if (both || closed("sidewalk:left:foot")) sides.left = Side::none;
    if (both || closed("sidewalk:right:foot")) sides.right = Side::none;
    if (both) sides.somewhere = false;
}

Pavement pavement_of(const Tags& tags) {
    Sides sides;
    for (const Word key : {"footway", "pavement", "sidewalk"})
        read_overall(tags.get(key), sides);
    const auto set = [&](Word key, Side& side) {
        if (const Side told = side_of(tidied(tags.get(key))); told != Side::unset) side = told;
    };
    set("sidewalk:both", sides.left);
    set("sidewalk:both", sides.right);
    set("sidewalk:left", sides.left);
    set("sidewalk:right", sides.right);
    close_to_walkers(tags, sides);
    if (sides.left == Side::yes && sides.right == Side::yes) return Pavement::both;
    if (sides.left == Side::yes) return Pavement::left;
    if (sides.right == Side::yes) return Pavement::right;
    if (sides.somewhere) return Pavement::yes;
    if (sides.left == Side::separate || sides.right == Side::separate) return Pavement::separate;
    return sides.left == Side::none && sides.right == Side::none ? Pavement::none : Pavement::unknown;
}

/// Of a list the most lanes; a half counts as one. 0 where nothing is recorded, none where it cannot be read.
std::optional<int> count_of_lanes(const Tags& tags, Word key) {
    int most = 0;
    for (const std::string& part : parts_of(tags.get(key))) {
        double number = 0;
        std::string unit;
        if (!number_and_unit(part, number, unit) || !unit.empty() || number <= 0 || number > 30)
            return std::nullopt;
        most = std::max(most, static_cast<int>(std::ceil(number)));
    }
    return most;
}

/// All lanes, also where only those of each direction are recorded. Source: OSM wiki, Key:lanes.
std::optional<int> lanes_of(const Tags& tags) {
    const auto all = count_of_lanes(tags, "lanes");
    int by_direction = 0;
    for (const Word key : {"lanes:forward", "lanes:backward", "lanes:both_ways"})
        by_direction += count_of_lanes(tags, key).value_or(0);
    const int most = std::max(all.value_or(0), by_direction);
    return most > 0 ? std::optional(most) : std::nullopt;
}

std::optional<bool> oneway_of(const Tags& tags) {
    const std::string value = tidied(tags.get("oneway"));
    if (among(value, {"yes", "true", "1", "-1", "reverse"})) return true;
    if (among(value, {"no", "false", "0"})) return false;
    if (!value.empty()) return std::nullopt;
    if (among(tags.get("junction"), {"roundabout", "circular"}) || tags.is("highway", "motorway"))
        return true;
    return std::nullopt;
}

/// Feet and inches as OSM writes them: 6', 6'7", 7". Source: OSM wiki, Map features/Units.
std::optional<double> read_feet(const std::string& text) {
    constexpr double k_m_per_foot = 0.3048, k_m_per_inch = 0.0254;
    double feet = 0, inches = 0;
    std::string rest;
    if (!number_and_unit(text, feet, rest)) return std::nullopt;
    if (rest == "\"" || rest == "in") return feet * k_m_per_inch;
    if (rest == "'" || rest == "ft" || rest == "feet") return feet * k_m_per_foot;
    if (rest.empty() || rest.front() != '\'') return std::nullopt;
    std::string mark;
    if (!number_and_unit(tidied(rest.substr(1)), inches, mark) || (mark != "\"" && !mark.empty()))
        return std::nullopt;
    return feet * k_m_per_foot + inches * k_m_per_inch;
}

std::optional<double> layer_of(const Tags& tags) {
    double number = 0;
    std::string text = tidied(tags.get("layer")), unit;
    if (text.starts_with('+')) text.erase(0, 1);
    if (!number_and_unit(text, number, unit) || !unit.empty() || std::abs(number) > 20) return std::nullopt;
    return number;
}

/// The worst of a list by a scale from easy to hard, and whether a word of it is not of the scale.
struct OnScale {
    std::string worst; ///< "" unknown
    bool unread = false;
};

template <std::size_t n> OnScale worst_on(const std::array<Word, n>& scale, Word value) {
    OnScale out;
    auto worst = scale.begin();
    for (const std::string& part : parts_of(value)) {
        const auto found = std::find(scale.begin(), scale.end(), Word(part));
        if (found == scale.end()) {
            out.unread = true;
            continue;
        }
        worst = std::max(worst, found);
        out.worst = *worst;
    }
    return out;
}

bool is_word_char(char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_';
}

/// The scale's own names, T1 to T6, and what else stands in one value: "T3 - demanding mountain hiking",
/// "t2-t3". None where there is no such name; 7 where it is beyond the scale.
std::optional<std::size_t> hardest_t(const std::string& text) {
    std::optional<std::size_t> out;
    for (std::size_t i = 0; i + 1 < text.size(); ++i) {
        const bool begins = text[i] == 't' && (i == 0 || !is_word_char(text[i - 1]));
        const bool ends = i + 2 >= text.size() || !is_word_char(text[i + 2]);
        if (begins && ends && text[i + 1] >= '1' && text[i + 1] <= '9')
            out = std::max(out.value_or(0),
                           std::min<std::size_t>(7, static_cast<std::size_t>(text[i + 1] - '0')));
    }
    return out;
}

OnScale sac_scale_of(Word value) {
    std::string words, named;
    for (const char c : tidied(value))
        words += c == ',' ? ';' : c;
    bool unread = false;
    for (std::string part : parts_of(words)) {
        if (part == "no") continue; // no mountain path
        if (const auto t = hardest_t(part)) {
            unread = unread || *t >= k_sac_scale.size();
            part = *t < k_sac_scale.size() ? k_sac_scale[*t] : "";
        }
        std::replace(part.begin(), part.end(), ' ', '_');
        named += part + ';';
    }
    OnScale out = worst_on(k_sac_scale, named);
    out.unread = out.unread || unread;
    return out;
}

// Source: OSM wiki, Key:trail_visibility.
constexpr std::array<Word, 6> k_visibility{"excellent", "good", "intermediate", "bad", "horrible", "no"};

void read_water(const Tags& tags, WayFacts& out) {
    const Word ford = tags.get("ford");
    // a bridge that floods is crossed like a ford
    out.ford = yes(tags, "ford") || tags.is("highway", "ford") ||
               among(tags.get("bridge"), {"low_water_crossing", "ford"});
    // one line drawn for a path and for the water that it runs in
    const LineKind kind = line_kind(tags);
    const bool dry = out.bridge || out.tunnel || out.culvert;
    if ((kind == LineKind::path || kind == LineKind::road) && !dry)
        out.ford = out.ford || among(tags.get("waterway"), {"river", "stream", "canal", "brook", "rapids",
                                                            "weir", "tidal_channel"});
    if (out.ford) out.ford_kind = among(ford, {"stepping_stones", "boat"}) ? std::string(ford) : "ford";
    out.tidal = yes(tags, "tidal") || tags.is("waterway", "tidal_channel") ||
                among(tags.get("wetland"), {"tidalflat", "saltmarsh", "mangrove"});
}

void read_structure(const Tags& tags, WayFacts& out) {
    const Word tunnel = tags.get("tunnel");
    out.bridge_as = read_bridge(tags);
    out.bridge = out.bridge_as.state == BridgeReading::State::stands;
    out.culvert = tunnel == "culvert" || tags.is("culvert", "yes");
    out.tunnel = yes(tags, "tunnel") && tunnel != "culvert";
    out.layer = layer_of(tags);
    out.covered = yes(tags, "covered");
    out.indoor = yes(tags, "indoor");
    out.steps = highway_class(tags) == "steps";
    out.via_ferrata =
        highway_class(tags) == "via_ferrata" || yes(tags, "via_ferrata") || tags.has("via_ferrata_scale") ||
        tidied(tags.get("cai_scale")).starts_with("eea"); // with equipment (OSM wiki, Key:cai_scale)
}

/// A grade that cannot be read is no easy one. Of the Italian grades T and E are for every walker, EE and EAI
/// (snow) are not. Source: OSM wiki, Key:sac_scale, Key:cai_scale, from memory.
void read_grades(const Tags& tags, WayFacts& out) {
    const OnScale sac = sac_scale_of(tags.get("sac_scale"));
    const OnScale visibility = worst_on(k_visibility, tags.get("trail_visibility"));
    out.sac_scale = sac.worst;
    out.trail_visibility = visibility.worst;
    const auto add = [&](Word key) {
        out.grade_unread += out.grade_unread.empty() ? "" : "; ";
        out.grade_unread += std::string(key) + "=" + std::string(tags.get(key));
    };
    if (sac.unread) add("sac_scale");
    if (visibility.unread) add("trail_visibility");
    if (const std::string cai = tidied(tags.get("cai_scale"));
        !cai.empty() && !among(cai, {"t", "e"}) && !cai.starts_with("eea"))
        add("cai_scale");
    // grades and words of climbing on a path that has no grade for walkers (OSM wiki, Climbing, Key:scramble)
    for (const Word key :
         {"uiaa_scale", "climbing:grade:uiaa", "climbing:grade:uiaa:mean", "scramble", "climbing"})
        if (out.sac_scale.empty() && yes(tags, key)) add(key);
}

} // namespace

const char* to_string(Grade grade) {
    switch (grade) {
    case Grade::recorded:
        return "recorded";
    case Grade::zone:
        return "zone";
    case Grade::presumed:
        return "presumed";
    case Grade::unknown:
        return "unknown";
    }
    return "unknown";
}

const char* to_string(Right right) {
    switch (right) {
    case Right::recorded:
        return "recorded";
    case Right::road:
        return "road";
    case Right::permissive:
        return "permissive";
    case Right::open_access:
        return "open_access";
    case Right::presumed:
        return "presumed";
    case Right::unknown:
        return "unknown";
    case Right::restricted:
        return "restricted";
    case Right::forbidden:
        return "forbidden";
    }
    return "unknown";
}

const char* to_string(Pavement pavement) {
    switch (pavement) {
    case Pavement::both:
        return "both";
    case Pavement::left:
        return "left";
    case Pavement::right:
        return "right";
    case Pavement::yes:
        return "yes";
    case Pavement::separate:
        return "separate";
    case Pavement::none:
        return "none";
    case Pavement::unknown:
        return "unknown";
    }
    return "unknown";
}

WayFacts read_way(const Tags& tags, const region::Region& region, const std::optional<At>& when) {
    WayFacts out;
    out.access = access_of(tags);
    out.lifecycle = lifecycle(tags);
    out.right = right_of(tags, region, when);
    if (line_kind(tags) == LineKind::road) {
        out.speed = speed_of(tags, region);
        out.pavement = pavement_of(tags);
        out.dual_carriageway = dual_carriageway_of(tags);
    } else {
        out.speed.words = "not recorded";
    }
    out.lanes = lanes_of(tags);
    out.oneway = oneway_of(tags);
    out.lit = lit_of(tags);
    out.surface = tags.get("surface");
    read_structure(tags, out);
    read_water(tags, out);
    read_grades(tags, out);
    out.width_m = read_metres(tags.has("width") ? tags.get("width") : tags.get("est_width"));
    for (const auto& [key, value] : tags.pairs())
        if (key.ends_with(":conditional")) out.conditional.emplace_back(key, value);
    return out;
}

std::optional<double> read_metres(std::string_view value) {
    const std::string text = tidied(value);
    double number = 0;
    std::string unit;
    if (!number_and_unit(text, number, unit)) return std::nullopt;
    std::optional<double> metres;
    if (among(unit, {"", "m", "metre", "metres", "meter", "meters"}))
        metres = number;
    else if (unit == "cm")
        metres = number / 100;
    else
        metres = read_feet(text);
    return metres && *metres > 0 && *metres <= 200 ? metres : std::nullopt;
}

} // namespace waywarden::map
