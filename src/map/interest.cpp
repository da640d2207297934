#include "map/interest.hpp"

#include <osmium/osm/tag.hpp>
#include <osmium/osm/way.hpp>

#include <algorithm>
#include <array>
#include <string_view>

namespace waywarden::map {

namespace {

using Word = std::string_view;

template <std::size_t n> bool among(const std::array<Word, n>& words, Word word) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

constexpr std::array<Word, 9> k_line_natural{"cliff", "coastline", "ridge",    "arete", "earth_bank",
                                             "gully", "valley",    "tree_row", "gorge"};
constexpr std::array<Word, 9> k_line_man_made{"embankment", "pier", "dyke",     "breakwater", "groyne",
                                              "cutline",    "quay", "pipeline", "bridge"};
constexpr std::array<Word, 12> k_area_keys{"landuse",  "leisure", "military", "amenity",
                                           "building", "tourism", "historic", "hazard",
                                           "place",    "golf",    "wetland",  "area:highway"};
constexpr std::array<Word, 6> k_area_waterways{"riverbank", "dock", "boatyard", "dam", "weir", "fuel"};
constexpr std::array<Word, 6> k_boundaries{"protected_area", "national_park", "hazard",
                                           "military",       "forest",        "aboriginal_lands"};

bool lifecycle_of_a_line(Word key) {
    for (const Word state : {Word("construction:"), Word("proposed:"), Word("planned:"), Word("disused:"),
                             Word("abandoned:"), Word("razed:"), Word("demolished:")})
        if (key.substr(0, state.size()) == state) {
            const Word rest = key.substr(state.size());
            return rest == "highway" || rest == "railway";
        }
    return false;
}

} // namespace

bool is_line_of_interest(const osmium::TagList& tags) {
    for (const osmium::Tag& tag : tags) {
        const Word key = tag.key(), value = tag.value();
        if (key == "highway" || key == "railway" || key == "waterway" || key == "barrier" || key == "aeroway")
            return true;
        if (key == "route" && value == "ferry") return true; // other routes may still be roads by a later tag
        if (key == "natural" && among(k_line_natural, value)) return true;
        if (key == "man_made" && among(k_line_man_made, value)) return true;
        if (lifecycle_of_a_line(key)) return true;
    }
    return false;
}

bool is_area_of_interest(const osmium::TagList& tags) {
    bool area = false;
    for (const osmium::Tag& tag : tags) {
        const Word key = tag.key(), value = tag.value();
        if (key == "area") {
            if (value == "no") return false;
            area |= tags.has_key("highway") || tags.has_key("barrier") || tags.has_key("railway") ||
                    tags.has_key("man_made");
        }
        if (value == "no") continue;
        area |= among(k_area_keys, key);
        area |= key == "natural" && !among(k_line_natural, value);
        area |= key == "waterway" && among(k_area_waterways, value);
        area |= key == "aeroway" && value != "taxiway" && value != "runway";
        area |= key == "boundary" && among(k_boundaries, value);
        area |= key == "man_made" && value != "embankment" && value != "cutline" && value != "pipeline";
        area |=
            key == "sport" && (value.find("shooting") != value.npos || value.find("archery") != value.npos);
        area |= key == "power" && (value == "plant" || value == "substation");
    }
    return area;
}

bool is_ring(const osmium::WayNodeList& nodes) {
    return nodes.size() > 3 && nodes.front().ref() == nodes.back().ref();
}

bool is_of_interest(const osmium::Way& way) {
    if (is_line_of_interest(way.tags())) return true;
    return is_ring(way.nodes()) ? is_area_of_interest(way.tags()) : is_danger_outline(way.tags());
}

bool can_hold_a_route(const osmium::TagList& tags) {
    return !tags.has_key("building") && is_area_of_interest(tags);
}

bool is_wet_area(const osmium::TagList& tags) {
    const Word natural = tags.get_value_by_key("natural", "");
    return natural == "water" || natural == "wetland" || natural == "glacier" || natural == "shoal" ||
           natural == "bay" || natural == "beach" || tags.has_key("wetland") || tags.has_key("tidal") ||
           tags.has_tag("waterway", "riverbank");
}

bool is_danger_area(const osmium::TagList& tags) {
    return tags.has_key("military") || tags.has_key("hazard") || tags.has_tag("landuse", "military") ||
           tags.has_tag("boundary", "military") || tags.has_tag("boundary", "hazard");
}

bool is_danger_outline(const osmium::TagList& tags) {
    return is_danger_area(tags) && is_area_of_interest(tags) && !is_line_of_interest(tags) &&
           !tags.has_tag("military", "trench");
}

} // namespace waywarden::map
