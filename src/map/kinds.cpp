#include "map/kinds.hpp"

#include "map/tag_words.hpp"

#include <algorithm>
#include <array>

namespace waywarden::map {

namespace {

using Words = std::string_view;

constexpr std::array<Words, 2> k_motorways{"motorway", "motorway_link"};
constexpr std::array<Words, 4> k_major_roads{"trunk", "trunk_link", "primary", "primary_link"};
constexpr std::array<Words, 12> k_minor_roads{
    "secondary",     "secondary_link", "tertiary", "tertiary_link", "unclassified", "residential",
    "living_street", "service",        "road",     "busway",        "minor",        "escape"};
constexpr std::array<Words, 12> k_paths{"footway",  "path",        "bridleway",  "track",
                                        "cycleway", "steps",       "pedestrian", "byway",
                                        "corridor", "via_ferrata", "ladder",     "crossing"};
/// OSM wiki, Key:railway; `yes` and kinds of siding are slips for rails that lie there.
constexpr std::array<Words, 14> k_rails{"rail",   "light_rail", "tram",      "narrow_gauge", "preserved",
                                        "subway", "miniature",  "funicular", "monorail",     "rack",
                                        "yes",    "spur",       "siding",    "heavy_rail"};
/// Values that are no way to walk or drive along (OSM wiki, Key:highway). Any other that is not known here is
/// a road of which nobody can say what runs on it: a racing or guided busway, a list of two classes, a slip
/// of the pen.
constexpr std::array<Words, 13> k_no_ways{"no",           "platform",       "rest_area", "services",
                                          "elevator",     "emergency_bay",  "bus_stop",  "traffic_island",
                                          "toll_gantry",  "turning_circle", "trailhead", "street_lamp",
                                          "passing_place"};
constexpr std::array<Words, 13> k_waterways{"river",         "canal",     "stream",    "drain",     "ditch",
                                            "tidal_channel", "brook",     "rapids",    "waterfall", "wadi",
                                            "spillway",      "fish_pass", "canoe_pass"};
constexpr std::array<Words, 7> k_states{"construction", "proposed", "planned",   "disused",
                                        "abandoned",    "razed",    "demolished"};

/// Of a list any; `yes` is water of which no more is known.
bool is_waterway(Words value) {
    while (!value.empty()) {
        const auto end = value.find(';');
        const Words word = value.substr(0, end);
        if (word == "yes" || among(k_waterways, word)) return true;
        value = end == Words::npos ? Words() : value.substr(end + 1);
    }
    return false;
}

/// What a line is of which only its state is recorded. The rails still lie on a disused railway and may lie
/// on one under construction; of the other states there is nothing to meet (OSM wiki, Key:railway).
Words unnamed_in_state(Words key, Words state) {
    if (key != "railway") return "road";
    return state == "disused" || state == "construction" ? "rail" : "";
}

/// The first of the states under whose prefix the key has a value, and not "no".
struct Prefixed {
    Words state, value; ///< empty: there is none
};

Prefixed under_prefix(const Tags& tags, Words key) {
    auto first = k_states.end();
    Words found;
    for (const auto& [name, unused] : tags.pairs()) {
        if (name.size() <= key.size() + 1 || !name.ends_with(key)) continue;
        const std::size_t colon = name.size() - key.size() - 1;
        const auto state = std::find(k_states.begin(), first, Words(name).substr(0, colon));
        if (name[colon] != ':' || state == first || !yes(tags, name)) continue;
        first = state;
        found = tags.get(name);
    }
    return first == k_states.end() ? Prefixed{} : Prefixed{*first, found};
}

/// Also of a list: rail;light_rail.
bool is_rail(Words railway) {
    for (std::size_t at = 0; at <= railway.size();) {
        const std::size_t end = std::min(railway.find(';', at), railway.size());
        Words one = railway.substr(at, end - at);
        while (one.starts_with(' '))
            one.remove_prefix(1);
        if (among(k_rails, one)) return true;
        at = end + 1;
    }
    return false;
}

/// Rails in use where the tags of the way they replaced, or of one that may come, are kept.
bool only_rails_in_use(const Tags& tags) {
    const Words highway = tags.get("highway");
    const bool way_in_use = !highway.empty() && highway != "no" && !among(k_states, highway);
    return !way_in_use && is_rail(tags.get("railway"));
}

/// The value of a key as it is, as key=construction + construction=VALUE, or under a lifecycle prefix.
Words value_in_any_state(const Tags& tags, Words key) {
    const Words plain = tags.get(key);
    if (among(k_states, plain)) {
        const Words within = tags.get(plain);
        if (within.empty() || within == "yes" || within == "minor") return unnamed_in_state(key, plain);
        return within;
    }
    if (!plain.empty() && plain != "no") return plain;
    const Prefixed prefixed = under_prefix(tags, key);
    return prefixed.state.empty() ? plain : prefixed.value;
}

/// Of a list of paths the steps, else the first; any other list as it is: nobody knows what runs there.
Words of_several_paths(Words list) {
    Words first, out;
    for (Words rest = list; !rest.empty();) {
        const std::size_t end = rest.find(';');
        Words part = rest.substr(0, end);
        rest = end == rest.npos ? Words() : rest.substr(end + 1);
        while (part.starts_with(' '))
            part.remove_prefix(1);
        if (!among(k_paths, part)) return list;
        if (first.empty()) first = part;
        if (part == "steps") out = part;
    }
    return out.empty() ? first : out;
}

} // namespace

const char* to_string(Access access) {
    switch (access) {
    case Access::footpath:
        return "footpath";
    case Access::bridleway:
        return "bridleway";
    case Access::byway:
        return "byway";
    case Access::cycleway:
        return "cycleway";
    case Access::track:
        return "track";
    case Access::pavement:
        return "pavement";
    case Access::minor_road:
        return "minor_road";
    case Access::major_road:
        return "major_road";
    case Access::motorway:
        return "motorway";
    case Access::railway:
        return "railway";
    case Access::water:
        return "water";
    case Access::ferry:
        return "ferry";
    case Access::open_ground:
        return "open_ground";
    }
    return "open_ground";
}

bool yes(const Tags& tags, std::string_view key) {
    const Words value = tags.get(key);
    return !value.empty() && value != "no";
}

std::string_view highway_class(const Tags& tags) {
    if (only_rails_in_use(tags)) return "";
    const Words value = value_in_any_state(tags, "highway");
    return value.find(';') == value.npos ? value : of_several_paths(value);
}

std::string_view lifecycle(const Tags& tags) {
    if (only_rails_in_use(tags)) return "";
    for (const Words key : {"highway", "railway"}) {
        const Words plain = tags.get(key);
        if (plain == "no" && key == "highway") return "closed";
        if (among(k_states, plain)) return plain;
        if (!plain.empty()) return "";
    }
    for (const Words key : {"highway", "railway"})
        if (const Prefixed prefixed = under_prefix(tags, key); !prefixed.state.empty()) return prefixed.state;
    return "";
}

LineKind line_kind(const Tags& tags) {
    const Words highway = highway_class(tags);
    if (among(k_paths, highway)) return LineKind::path;
    if (among(k_motorways, highway) || among(k_major_roads, highway) || among(k_minor_roads, highway))
        return LineKind::road;
    if (!highway.empty() && !among(k_no_ways, highway)) return LineKind::road;
    if (highway == "no" && tags.has("designation")) return LineKind::path;
    if (is_rail(value_in_any_state(tags, "railway"))) return LineKind::rail;
    if (tags.is("route", "ferry") || tags.is("ferry", "yes")) return LineKind::ferry;
    if (is_waterway(tags.get("waterway"))) return LineKind::water;
    return LineKind::other;
}

Access access_of(const Tags& tags) {
    const Words highway = highway_class(tags);
    const LineKind kind = line_kind(tags);
    if (kind == LineKind::rail) return Access::railway;
    if (kind == LineKind::ferry) return Access::ferry;
    if (kind == LineKind::road) {
        if (among(k_motorways, highway) || tags.is("motorroad", "yes")) return Access::motorway;
        return among(k_major_roads, highway) ? Access::major_road : Access::minor_road;
    }
    if (kind != LineKind::path) return Access::open_ground;
    if (tags.is("footway", "sidewalk") || tags.is("path", "sidewalk") || tags.is("cycleway", "sidewalk") ||
        tags.is("is_sidepath", "yes"))
        return Access::pavement;
    const Words designation = tags.get("designation");
    if (designation == "public_footpath" || designation == "permissive_footpath") return Access::footpath;
    if (designation == "public_bridleway" || designation == "permissive_bridleway") return Access::bridleway;
    if (designation == "restricted_byway" || designation == "byway_open_to_all_traffic" ||
        designation == "byway")
        return Access::byway;
    if (highway == "bridleway") return Access::bridleway;
    if (highway == "byway") return Access::byway;
    if (highway == "cycleway") return Access::cycleway;
    if (highway == "track") return Access::track;
    return Access::footpath;
}

} // namespace waywarden::map
