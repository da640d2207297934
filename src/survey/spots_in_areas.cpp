#include "map/right_reading.hpp"
#include "survey/spots.hpp"
#include "survey/water.hpp"
#include "survey/water_banks.hpp"
#include "survey/way_facts.hpp"

#include <algorithm>
#include <array>

namespace waywarden::survey {

namespace {

/// Shorter than this the walk only grazes the area.
constexpr double k_least_m = 0.5;
/// A danger area is told of from this near: its edge on the map is good to some metres, and so is the line.
/// Common practice, no source.
constexpr double k_beside_m = 30;

bool has_value(std::string_view value, std::initializer_list<std::string_view> words) {
    return std::find(words.begin(), words.end(), value) != words.end();
}

bool kept_private(const map::Tags& t) {
    if (map::yes(t, "foot") && !t.is("foot", "private")) return false;
    return has_value(t.get("foot"), {"no", "private"}) || has_value(t.get("access"), {"no", "private"});
}

/// Source: OSM wiki, Tag:sport=shooting, Tag:sport=clay_pigeon_shooting.
bool is_shooting_ground(const map::Tags& t) {
    const auto sport = t.get("sport");
    return sport == "shooting" || sport == "clay_pigeon_shooting" || sport == "shooting_range";
}

/// The kind of spot an area makes, "" for none. The more dangerous reading of several tags wins.
std::string_view kind_of(const map::Tags& t) {
    const auto military = t.get("military"), landuse = t.get("landuse"), leisure = t.get("leisure"),
               natural = t.get("natural"), amenity = t.get("amenity"), aeroway = t.get("aeroway");
    if (has_value(military, {"danger_area", "range", "nuclear_explosion_site"})) return "danger_area";
    if (military == "airfield") return "airfield";
    if (!military.empty() || landuse == "military" || t.is("boundary", "military")) return "military_area";
    if (t.is("boundary", "hazard") || map::yes(t, "hazard") || is_shooting_ground(t)) return "hazard";
    if (is_tidal_ground(t)) return "tidal_area";
    if (landuse == "quarry") return "quarry";
    if (landuse == "construction" || map::yes(t, "construction")) return "construction_area";
    if (has_value(aeroway, {"aerodrome", "airstrip", "runway", "helipad", "heliport", "apron"}))
        return "airfield";
    if (map::yes(t, "building")) return "building";
    if (landuse == "farmyard") return "farmyard";
    if (leisure == "garden") return "garden";
    if (leisure == "golf_course") return "golf_course";
    if (has_value(amenity, {"school", "kindergarten"})) return "school";
    if (natural == "scree") return "scree";
    if (natural == "glacier") return "glacier";
    if (natural == "wetland") return "wetland";
    if (landuse == "industrial" || has_value(t.get("power"), {"plant", "substation"}))
        return "industrial_area";
    if (landuse == "cemetery" || amenity == "grave_yard") return "cemetery";
    if (has_value(leisure, {"pitch", "stadium", "sports_centre"})) return "sports_field";
    if (kept_private(t)) return "private_area";
    return leisure == "nature_reserve" || t.is("boundary", "protected_area") ? "nature_reserve" : "";
}

std::string access_tags(const map::Tags& tags) {
    std::string out;
    for (const auto& [key, value] : tags.pairs())
        if (key == "access" || key == "foot" || key.rfind("access:", 0) == 0 || key.rfind("foot:", 0) == 0)
            out += (out.empty() ? "" : ", ") + key + "=" + value;
    return out;
}

/// How the walk goes through a span: whether any of it is off the paths, and whether all of it has a recorded
/// right.
struct Passage {
    bool off_path = false, recorded = true;
};

Passage passage_of(const Scene& scene, const AreaSpan& span) {
    Passage out;
    const Walk& walk = scene.walks()[span.walk];
    for (std::size_t i = span.from.step; i <= span.to.step; ++i) {
        const WalkPlace from{i, i == span.from.step ? span.from.share : 0},
            to{i, i == span.to.step ? span.to.share : 1};
        if (metres_between(walk, from, to) < 0.1) continue;
        const auto& way = walk.steps[i].way;
        if (!way) {
            out = {true, false};
            return out;
        }
        const map::Right right = scene.facts(*way).right.right;
        out.recorded = out.recorded && (right == map::Right::recorded || right == map::Right::road);
    }
    return out;
}

/// What the tags of the area say.
void describe(const map::Area& area, std::string_view kind, Spot& out) {
    const map::Tags& tags = area.object.tags;
    out.name = name_of(tags);
    set_text(out.facts, "name", out.name);
    set_text(out.facts, "access_tags", access_tags(tags));
    set_text(out.facts, "military",
             tags.has("military")                ? tags.get("military")
             : tags.get("landuse") == "military" ? "yes"
                                                 : "");
    if (kind == "hazard")
        set_text(out.facts, "detail",
                 !map::yes(tags, "hazard") && is_shooting_ground(tags) ? "shooting" : tags.get("hazard"));
    out.evidence.push_back(evidence_of(area.object));
}

/// Old bunkers and trenches are dangers to nobody who walks past.
bool is_told_of_beside(const map::Tags& tags, std::string_view kind) {
    return kind == "danger_area" ||
           (kind == "military_area" && !has_value(tags.get("military"), {"bunker", "trench", "office"}));
}

Spot spot_in(const Scene& scene, const map::Area& area, std::string_view kind, const AreaSpan& span) {
    const Walk& walk = scene.walks()[span.walk];
    const WalkPoint from = point_at(walk, span.from), to = point_at(walk, span.to);
    const map::Tags& tags = area.object.tags;
    const Passage passage = passage_of(scene, span);
    Spot out = spot_of(kind, from.at_m, to.at_m, from.position, 0, true);
    describe(area, kind, out);
    out.facts.set("off_path", passage.off_path);
    out.facts.set("on_recorded_right", passage.recorded);
    out.facts.set("open_country_is_open", scene.region().open_country_is_open);
    out.facts.set("tidal", is_tidal_ground(tags) || map::yes(tags, "tidal"));
    return out;
}

Spot spot_beside(const Scene& scene, const map::Area& area, std::string_view kind, const AreaBeside& beside) {
    const WalkPoint at = point_at(scene.walks()[beside.walk], beside.at);
    Spot out = spot_of(kind, at.at_m, at.at_m, at.position, beside.distance_m, false);
    describe(area, kind, out);
    return out;
}

bool has_conditions(const map::Tags& tags) {
    return tags.has("access:conditional") || tags.has("foot:conditional");
}

/// Whether an area that is closed at times is, or may be, when they pass: as the young birds' season in a
/// reserve.
bool may_be_closed(const Scene& scene, const map::Tags& tags, const AreaSpan& span) {
    const Walk& walk = scene.walks()[span.walk];
    const WalkPoint from = point_at(walk, span.from), to = point_at(walk, span.to);
    const auto when = scene.passing(from.at_m, to.at_m, from.position);
    return !when || map::closed_on_foot(tags, scene.region(), *when).state != map::ClosedReading::State::no;
}

} // namespace

Spot spot_of(std::string_view kind, double from_m, double to_m, geo::Position position, double distance_m,
             bool within) {
    Spot out;
    out.from_m = from_m;
    out.to_m = to_m;
    out.position = position;
    out.facts.set("kind", std::string(kind));
    out.facts.set("length_m", to_m - from_m);
    out.facts.set("distance_m", distance_m);
    out.facts.set("within", within);
    return out;
}

void find_area_spots(const Scene& scene, const AreaFinder& finder, std::vector<Spot>& out) {
    for (const map::Area& area : scene.ground().areas) {
        const auto kind = kind_of(area.object.tags);
        const bool at_times = (kind.empty() || kind == "nature_reserve") && has_conditions(area.object.tags);
        if (kind.empty() && !at_times) continue;
        bool entered = false;
        // beside a tidal flat or a glacier is not on it; of other ground the worse reading holds
        const bool has_bank = kind == "tidal_area" || kind == "glacier";
        for (const AreaSpan& span : has_bank ? spans_within(scene, finder, area) : finder.spans(area)) {
            const bool closed = at_times && may_be_closed(scene, area.object.tags, span);
            if (kind.empty() && !closed) continue;
            if (metres_between(scene.walks()[span.walk], span.from, span.to) < k_least_m) continue;
            entered = true;
            Spot spot = spot_in(scene, area, closed ? "private_area" : kind, span);
            if (kind == "building" && !*spot.facts.flag("off_path")) continue;
            out.push_back(std::move(spot));
        }
        if (!entered && is_told_of_beside(area.object.tags, kind))
            if (const auto beside = finder.beside(area, k_beside_m))
                out.push_back(spot_beside(scene, area, kind, *beside));
    }
}

} // namespace waywarden::survey
