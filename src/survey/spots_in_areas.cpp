#include "map/right_reading.hpp"
#include "survey/dangers.hpp"
#include "survey/spots.hpp"
#include "survey/timed_facts.hpp"
#include "survey/water.hpp"
#include "survey/water_banks.hpp"
#include "survey/way_facts.hpp"

#include <algorithm>
#include <array>

namespace waywarden::survey {

namespace {

/// Shorter than this the walk only grazes the area.
constexpr double k_least_m = 0.5;
/// A pavement may cut the corner of a park that is shut. Common practice, no source.
constexpr double k_least_in_ground_m = 5;
/// Outlines of buildings are good to some metres: a way may graze one. Common practice, no source.
constexpr double k_least_in_building_m = 5;
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

/// What is dangerous in an area, in words; "" for nothing.
std::string_view danger_in(const map::Tags& t) {
    if (map::yes(t, "hazard")) return t.get("hazard");
    if (is_shooting_ground(t)) return "shooting";
    if (is_motor_sport(t)) return "motor sport";
    return t.is("golf", "driving_range") ? "golf balls, from a driving range" : pit_of(t);
}

/// The kind of spot an area makes, "" for none. The more dangerous reading of several tags wins.
std::string_view kind_of(const map::Tags& t) {
    const auto military = t.get("military"), landuse = t.get("landuse"), leisure = t.get("leisure"),
               natural = t.get("natural"), amenity = t.get("amenity"), aeroway = t.get("aeroway");
    if (has_value(military, {"danger_area", "range", "nuclear_explosion_site"})) return "danger_area";
    if (military == "airfield") return "airfield";
    if (!military.empty() || landuse == "military" || t.is("boundary", "military")) return "military_area";
    if (t.is("boundary", "hazard") || !danger_in(t).empty()) return "hazard";
    if (is_tidal_ground(t)) return "tidal_area";
    if (landuse == "quarry") return "quarry";
    if (landuse == "construction" || map::yes(t, "construction")) return "construction_area";
    if (has_value(aeroway, {"aerodrome", "airstrip", "runway", "helipad", "heliport", "apron"}) &&
        !is_out_of_use(t))
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
struct WayThrough {
    bool off_path = false, recorded = true;
};

WayThrough passage_of(const Scene& scene, const AreaSpan& span) {
    WayThrough out;
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
    if (kind == "hazard") set_text(out.facts, "detail", danger_in(tags));
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
    const WayThrough passage = passage_of(scene, span);
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

/// A building on the level of the way, neither of which says that one gets through. Source: OSM wiki,
/// Key:building, Key:covered, Tag:tunnel=building_passage, Key:indoor; from memory.
bool may_close_the_way(const Scene& scene, const map::Tags& building, const AreaSpan& span) {
    if (has_value(building.get("building"),
                  {"roof", "carport", "canopy", "bridge", "gatehouse", "train_station", "transportation",
                   "ruins", "collapsed", "demolished"}))
        return false;
    for (const char* key :
         {"layer", "level", "min_level", "building:min_level", "min_height", "covered", "arcade"})
        if (building.has(key)) return false;
    if (building.is("location", "underground")) return false;
    const Walk& walk = scene.walks()[span.walk];
    for (std::size_t i = span.from.step; i <= span.to.step; ++i) {
        const auto& way = walk.steps[i].way;
        if (!way) return false;
        const map::WayFacts& facts = scene.facts(*way);
        if (facts.tunnel || facts.bridge || facts.covered || facts.indoor || facts.layer.value_or(0) != 0 ||
            scene.role(*way) != LineRole::path || scene.tags(*way).is("highway", "corridor") ||
            map::yes(scene.tags(*way), "arcade"))
            return false;
    }
    return true;
}

/// Grounds that are shut behind the walkers (OSM wiki, Key:opening_hours); hours of a shop or a school in an
/// area say nothing of a path through it.
bool is_shut_at_hours(const map::Tags& t) {
    return t.has("opening_hours") && !t.is("opening_hours", "24/7") &&
           (has_value(t.get("leisure"), {"park", "garden", "nature_reserve", "common", "dog_park"}) ||
            has_value(t.get("landuse"), {"cemetery", "recreation_ground", "forest"}) ||
            has_value(t.get("amenity"), {"grave_yard"}) || t.is("boundary", "protected_area"));
}

/// What an unnamed one is called: "the park", "the grave yard".
std::string called(const map::Tags& t) {
    std::string word = "ground";
    for (const char* key : {"amenity", "landuse", "leisure"})
        if (t.has(key)) word = t.get(key);
    std::replace(word.begin(), word.end(), '_', ' ');
    return "the " + word;
}

/// The same spot told as a gate is: closed when they pass, perhaps so, or at times.
Spot spot_of_hours(const Scene& scene, const map::Area& area, const AreaSpan& span) {
    Spot out = spot_in(scene, area, "ground", span);
    if (out.name.empty()) out.facts.set("name", called(area.object.tags));
    set_timed_facts(out.facts, scene, area.object.tags, {out.from_m, out.to_m, out.position});
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
        if (is_shut_at_hours(area.object.tags))
            for (const AreaSpan& span : finder.spans(area))
                if (metres_between(scene.walks()[span.walk], span.from, span.to) >= k_least_in_ground_m)
                    out.push_back(spot_of_hours(scene, area, span));
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
            if (kind == "building" && !*spot.facts.flag("off_path")) {
                if (metres_between(scene.walks()[span.walk], span.from, span.to) < k_least_in_building_m ||
                    !may_close_the_way(scene, area.object.tags, span))
                    continue;
                spot = spot_in(scene, area, "building_over_way", span);
                set_text(spot.facts, "detail", area.object.tags.get("building"));
                if (spot.name.empty()) spot.facts.set("name", std::string("a building"));
            }
            out.push_back(std::move(spot));
        }
        if (!entered && is_told_of_beside(area.object.tags, kind))
            if (const auto beside = finder.beside(area, k_beside_m))
                out.push_back(spot_beside(scene, area, kind, *beside));
    }
}

} // namespace waywarden::survey
