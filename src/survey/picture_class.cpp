#include "survey/picture_class.hpp"

#include "map/kinds.hpp"

#include <algorithm>
#include <array>

namespace waywarden::survey {

namespace {

using Word = std::string_view;
using Of = PictureClass;

struct Drawn {
    Word key, value; ///< "" any value but no
    Of as;
};

/// The first that fits counts: dangers and water before what they lie in.
constexpr std::array k_areas{
    Drawn{"military", "", Of::danger},
    Drawn{"landuse", "military", Of::danger},
    Drawn{"boundary", "military", Of::danger},
    Drawn{"hazard", "", Of::danger},
    Drawn{"boundary", "hazard", Of::danger},
    Drawn{"building", "", Of::building},
    Drawn{"natural", "water", Of::water},
    Drawn{"waterway", "riverbank", Of::water},
    Drawn{"waterway", "dock", Of::water},
    Drawn{"landuse", "reservoir", Of::water},
    Drawn{"landuse", "basin", Of::water},
    Drawn{"natural", "bay", Of::water},
    Drawn{"natural", "wetland", Of::wetland},
    Drawn{"natural", "mud", Of::wetland},
    Drawn{"natural", "shoal", Of::wetland},
    Drawn{"natural", "beach", Of::sand},
    Drawn{"natural", "sand", Of::sand},
    Drawn{"natural", "shingle", Of::sand},
    Drawn{"natural", "bare_rock", Of::rock},
    Drawn{"natural", "scree", Of::rock},
    Drawn{"natural", "glacier", Of::rock},
    Drawn{"landuse", "quarry", Of::rock},
    Drawn{"landuse", "landfill", Of::rock},
    Drawn{"natural", "wood", Of::wood},
    Drawn{"landuse", "forest", Of::wood},
    Drawn{"natural", "scrub", Of::heath},
    Drawn{"natural", "heath", Of::heath},
    Drawn{"natural", "moor", Of::heath},
    Drawn{"natural", "fell", Of::heath},
    Drawn{"natural", "grassland", Of::grass},
    Drawn{"landuse", "grass", Of::grass},
    Drawn{"landuse", "meadow", Of::grass},
    Drawn{"landuse", "recreation_ground", Of::grass},
    Drawn{"landuse", "village_green", Of::grass},
    Drawn{"landuse", "cemetery", Of::grass},
    Drawn{"leisure", "park", Of::grass},
    Drawn{"leisure", "pitch", Of::grass},
    Drawn{"leisure", "golf_course", Of::grass},
    Drawn{"leisure", "common", Of::grass},
    Drawn{"landuse", "residential", Of::settled},
    Drawn{"landuse", "farmyard", Of::settled},
    Drawn{"landuse", "industrial", Of::settled},
    Drawn{"landuse", "commercial", Of::settled},
    Drawn{"landuse", "retail", Of::settled},
    Drawn{"landuse", "construction", Of::settled},
    Drawn{"amenity", "school", Of::settled},
    Drawn{"amenity", "parking", Of::paved},
    Drawn{"highway", "", Of::paved},
    Drawn{"man_made", "pier", Of::paved},
};

Of picture_of_road(const map::Tags& tags) {
    const map::Access access = map::access_of(tags);
    if (access == map::Access::motorway) return Of::motorway;
    if (access == map::Access::major_road) return Of::major_road;
    const Word highway = map::highway_class(tags);
    return highway == "service" || highway == "road" || highway == "escape" ? Of::lane : Of::minor_road;
}

} // namespace

std::optional<PictureClass> picture_of_area(const map::Tags& tags) {
    for (const Drawn& drawn : k_areas)
        if (drawn.value.empty() ? map::yes(tags, drawn.key) : tags.is(drawn.key, drawn.value))
            return drawn.as;
    return std::nullopt;
}

std::optional<PictureClass> picture_of_line(const map::Tags& tags) {
    const map::LineKind kind = map::line_kind(tags);
    const bool walked = kind == map::LineKind::path || kind == map::LineKind::road;
    if (walked && tags.is("area", "yes")) return std::nullopt; // drawn as the area it is
    if ((walked || kind == map::LineKind::rail) && !map::lifecycle(tags).empty()) return Of::works;
    switch (kind) {
    case map::LineKind::path:
        return map::access_of(tags) == map::Access::track || tags.is("highway", "track") ? Of::track
                                                                                         : Of::path;
    case map::LineKind::road:
        return picture_of_road(tags);
    case map::LineKind::rail:
        return Of::rail;
    case map::LineKind::water:
        return tags.is("waterway", "river") || tags.is("waterway", "canal") ? Of::river : Of::stream;
    case map::LineKind::ferry:
        return Of::ferry;
    case map::LineKind::other:
        break;
    }
    if (tags.is("natural", "coastline")) return Of::coast;
    if (tags.is("natural", "cliff") || tags.is("man_made", "embankment")) return Of::cliff;
    if (map::yes(tags, "barrier")) return Of::barrier;
    return std::nullopt;
}

const char* to_string(PictureClass of) {
    static constexpr std::array<const char*, k_picture_classes> k_words{
        "sea",    "settled", "grass",    "heath",   "wood",  "sand",       "rock",       "wetland", "water",
        "danger", "paved",   "building", "barrier", "cliff", "coast",      "stream",     "river",   "rail",
        "ferry",  "works",   "path",     "track",   "lane",  "minor_road", "major_road", "motorway"};
    return k_words.at(static_cast<std::size_t>(of));
}

} // namespace waywarden::survey
