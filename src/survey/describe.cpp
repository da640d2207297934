#include "survey/describe.hpp"

#include "survey/facilities.hpp"
#include "survey/places.hpp"
#include "survey/water.hpp"
#include "survey/way_facts.hpp"

#include <algorithm>
#include <map>

namespace waywarden::survey {

namespace {

map::Access access_of_crossed(const Scene& scene, const Hit& hit) {
    switch (hit.of) {
    case CrossingOf::road:
        return map::access_of(scene.tags(*hit.way));
    case CrossingOf::rail:
        return map::Access::railway;
    case CrossingOf::water:
        return map::Access::water;
    case CrossingOf::barrier:
        return map::Access::open_ground;
    }
    return map::Access::open_ground;
}

/// Of a road that changes its way number at the crossing, the faster piece is described.
map::WayIndex described_way(const Scene& scene, const Hit& hit) {
    map::WayIndex best = *hit.way;
    const auto limit = [&](map::WayIndex w) { return scene.facts(w).speed.limit_kmh.value_or(-1); };
    for (const map::WayIndex other : hit.also)
        if (limit(other) > limit(best)) best = other;
    return best;
}

std::string_view waterway_of(const Scene& scene, const Hit& hit) {
    if (hit.how == Hit::How::area && !hit.area) return "sea";
    const auto& tags = object_of(scene, hit).tags;
    if (hit.how == Hit::How::area && is_tidal_ground(tags)) return "tidal_flat";
    const auto waterway = tags.get("waterway"), water = tags.get("water");
    if (waterway == "riverbank") return "river";
    if (waterway == "rapids" || waterway == "waterfall" || waterway == "spillway") return "river";
    if (waterway == "wadi" || waterway == "fish_pass" || waterway == "canoe_pass") return "stream";
    if (waterway == "dock") return "lake";
    if (waterway.find(';') != waterway.npos)
        return waterway.find("river") != waterway.npos || waterway.find("canal") != waterway.npos ? "river"
                                                                                                  : "stream";
    if (!waterway.empty()) return waterway;
    if (water == "river" || water == "canal" || water == "stream" || water == "ditch" || water == "drain")
        return water;
    if (water == "stream_pool" || water == "rapids" || water == "oxbow") return "river";
    return tags.is("natural", "water") || tags.is("landuse", "reservoir") || tags.is("landuse", "basin")
               ? "lake"
               : "other";
}

double layer_of(const map::WayFacts& facts) {
    return facts.layer.value_or(0);
}

std::string_view means_evidence(const Scene& scene, const Hit& hit) {
    if (hit.means != Means::none && hit.means != Means::level) return "tag";
    if (hit.how == Hit::How::shared_node || hit.how == Hit::How::staggered) return "shared_node";
    if (hit.walked && hit.way && layer_of(scene.facts(*hit.walked)) != layer_of(scene.facts(*hit.way)))
        return "layer";
    return "nothing";
}

void describe_water(const Scene& scene, const Hit& hit, Crossing& crossing) {
    Facts& facts = crossing.facts;
    set_choice(facts, "waterway", waterway_of(scene, hit));
    const auto& tags = object_of(scene, hit).tags;
    const bool dry = map::yes(tags, "intermittent") || map::yes(tags, "seasonal");
    set_flag(facts, "intermittent", dry ? std::optional(true) : std::nullopt);
    const bool tidal =
        map::yes(tags, "tidal") || tags.is("waterway", "tidal_channel") ||
        (hit.area && (map::yes(hit.area->object.tags, "tidal") || is_tidal_ground(hit.area->object.tags))) ||
        (hit.how == Hit::How::area && !hit.area);
    facts.set("tidal", tidal);
    if (hit.walked) facts.set("on_tidal_way", scene.facts(*hit.walked).tidal);
    if (hit.how == Hit::How::area) facts.set("width_m", hit.to_m - hit.from_m);
    std::string ford = hit.walked ? scene.facts(*hit.walked).ford_kind : "";
    if (const map::TaggedNode* node = scene.ground().tagged(hit.node);
        node && (node->object.tags.has("ford") || is_ford(node->object.tags))) {
        ford = std::string(node->object.tags.get("ford"));
        if (ford == "yes" || ford.empty()) ford = "ford";
        if (hit.way || hit.area) crossing.evidence.push_back(evidence_of(node->object));
    }
    if (hit.means == Means::ford) set_text(facts, "ford_kind", ford);
}

void describe_rail(const Scene& scene, const Hit& hit, const Facilities& facilities, Crossing& crossing) {
    const auto& tags = scene.tags(*hit.way);
    const auto state = map::lifecycle(tags);
    crossing.facts.set("railway_in_use", state.empty());
    set_text(crossing.facts, "railway", tags.get("railway"));
    if (hit.means == Means::level || hit.means == Means::none) facilities.describe_rail(hit, crossing);
}

Crossing describe(const Scene& scene, const Hit& hit, const Facilities& facilities) {
    Crossing out;
    out.at_m = hit.at_m;
    out.position = hit.position;
    out.of = hit.of;
    out.access = access_of_crossed(scene, hit);
    out.means = hit.means;
    out.facts.set("of", std::string(to_string(hit.of)));
    out.facts.set("access", std::string(map::to_string(out.access)));
    const bool line = hit.way && (hit.how != Hit::How::area || !hit.area);
    const map::Object& crossed = object_of(scene, hit);
    out.osm = crossed.id;
    out.name = name_of(crossed.tags);
    out.evidence.push_back(evidence_of(crossed));
    if (line && hit.of != CrossingOf::barrier) {
        const map::WayIndex way = hit.of == CrossingOf::road ? described_way(scene, hit) : *hit.way;
        set_way_facts(out.facts, scene.tags(way), scene.facts(way));
    }
    set_text(out.facts, "name",
             out.name.empty() && crossed.tags.is("natural", "coastline") ? "the coastline" : out.name);
    for (const map::WayIndex other : hit.also)
        out.evidence.push_back(evidence_of(scene.way(other).object));
    if (line && hit.area) out.evidence.push_back(evidence_of(hit.area->object));
    if (hit.walked && hit.means != Means::level)
        out.evidence.push_back(evidence_of(scene.way(*hit.walked).object));
    out.facts.set("on_path", hit.how == Hit::How::staggered || hit.walked.has_value());
    const bool at_grade = hit.means == Means::level || hit.means == Means::none || hit.means == Means::ford;
    if (hit.of == CrossingOf::road && at_grade) facilities.describe_road(hit, out);
    if (hit.of == CrossingOf::rail) describe_rail(scene, hit, facilities, out);
    if (hit.of == CrossingOf::water) describe_water(scene, hit, out);
    if (hit.of == CrossingOf::barrier) facilities.describe_barrier(hit, out);
    out.facts.set("means", std::string(to_string(out.means)));
    out.facts.set("means_evidence", std::string(means_evidence(scene, hit)));
    return out;
}

/// What holds for a place as a whole: how many carriageways, and the lanes of all where every one is known.
void describe_places(std::vector<Crossing>& crossings) {
    struct Sum {
        int roads = 0;
        std::optional<double> lanes = 0.0;
    };
    std::map<int, Sum> sums;
    for (const Crossing& c : crossings) {
        if (c.of != CrossingOf::road) continue;
        Sum& sum = sums[c.place];
        ++sum.roads;
        const auto lanes = c.facts.number("lanes");
        sum.lanes = sum.lanes && lanes ? std::optional(*sum.lanes + *lanes) : std::nullopt;
    }
    for (Crossing& c : crossings) {
        if (c.of != CrossingOf::road) continue;
        const Sum& sum = sums[c.place];
        c.facts.set("carriageways", static_cast<double>(sum.roads));
        if (sum.roads > 1 && sum.lanes) c.facts.set("lanes", *sum.lanes);
    }
}

} // namespace

std::vector<Crossing> describe_crossings(const Scene& scene, const std::vector<Hit>& hits) {
    const Facilities facilities(scene);
    const Places places = gather_places(scene, hits);
    std::vector<Crossing> out;
    out.reserve(hits.size());
    for (std::size_t i = 0; i < hits.size(); ++i) {
        out.push_back(describe(scene, hits[i], facilities));
        out.back().place = places.number[i];
        out.back().facts.set("pair_count", static_cast<double>(places.pair_count[i]));
    }
    describe_places(out);
    return out;
}

} // namespace waywarden::survey
