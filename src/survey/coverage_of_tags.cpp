#include "survey/coverage_of_tags.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace waywarden::survey {

namespace {

bool begins(std::string_view key, std::string_view with) {
    return key.substr(0, with.size()) == with;
}

struct Carried {
    bool pavement = false, speed = false, lit = false, right = false, surface = false;
};

Carried carried_by(const map::Tags& tags) {
    Carried out;
    for (const auto& [key, value] : tags.pairs()) {
        out.pavement = out.pavement || begins(key, "sidewalk") || key == "pavement";
        out.speed =
            out.speed || begins(key, "maxspeed") || key == "source:maxspeed" || key == "zone:maxspeed";
        out.lit = out.lit || key == "lit";
        out.right = out.right || key == "foot" || key == "designation" || key == "access";
        out.surface = out.surface || key == "surface";
    }
    return out;
}

double length_of(const Scene& scene, const map::Way& way) {
    double out = 0;
    for (std::size_t i = 0; i + 1 < way.nodes.size(); ++i)
        out += geo::length_m(scene.node_at(way.nodes[i + 1]) - scene.node_at(way.nodes[i]));
    return out;
}

struct Share {
    const char* fact;
    double TaggedLength::*part;
};
constexpr std::array<Share, 5> k_shares{{{"pavement_tagged_share", &TaggedLength::pavement_m},
                                         {"speed_tagged_share", &TaggedLength::speed_m},
                                         {"lit_tagged_share", &TaggedLength::lit_m},
                                         {"right_tagged_share", &TaggedLength::right_m},
                                         {"surface_tagged_share", &TaggedLength::surface_m}}};

void set_shares(const std::map<std::string_view, TaggedLength>& lengths, bool road, Facts& facts) {
    const auto known = lengths.find(facts.text("highway"));
    if (known == lengths.end() || known->second.all_m <= 0) return;
    for (const Share& share : k_shares) {
        const bool of_roads = share.part == &TaggedLength::pavement_m ||
                              share.part == &TaggedLength::speed_m || share.part == &TaggedLength::lit_m;
        if (of_roads && !road) continue;
        facts.set(share.fact, 100 * (known->second.*share.part) / known->second.all_m);
    }
}

bool is_road(map::Access access) {
    return access == map::Access::minor_road || access == map::Access::major_road ||
           access == map::Access::motorway;
}

} // namespace

std::map<std::string_view, TaggedLength> tagged_lengths(const Scene& scene) {
    std::map<std::string_view, TaggedLength> out;
    const auto& ways = scene.ground().ways;
    for (map::WayIndex w = 0; w < ways.size(); ++w) {
        const auto& tags = ways[w].object.tags;
        if ((scene.role(w) != LineRole::road && scene.role(w) != LineRole::path) || !tags.has("highway"))
            continue;
        const double length_m = length_of(scene, ways[w]);
        const Carried carried = carried_by(tags);
        TaggedLength& sum = out[tags.get("highway")];
        sum.all_m += length_m;
        if (carried.pavement) sum.pavement_m += length_m;
        if (carried.speed) sum.speed_m += length_m;
        if (carried.lit) sum.lit_m += length_m;
        if (carried.right) sum.right_m += length_m;
        if (carried.surface) sum.surface_m += length_m;
    }
    return out;
}

void set_tag_shares(const Scene& scene, Survey& out) {
    const auto lengths = tagged_lengths(scene);
    for (StretchSurvey& stretch : out.stretches) {
        set_shares(lengths, is_road(stretch.reading.access), stretch.reading.facts);
        for (StretchReading& other : stretch.others)
            set_shares(lengths, is_road(other.access), other.facts);
    }
    for (Crossing& crossing : out.crossings)
        if (crossing.of == CrossingOf::road) set_shares(lengths, is_road(crossing.access), crossing.facts);
}

std::vector<std::string> empty_layers(const Scene& scene, const Given& given) {
    bool road_lit = false, surface = false, water = false, crossing_node = false, gate = false,
         any_way = false;
    const auto& ground = scene.ground();
    for (map::WayIndex w = 0; w < ground.ways.size(); ++w) {
        const LineRole role = scene.role(w);
        const auto& tags = scene.tags(w);
        any_way = any_way || role == LineRole::road || role == LineRole::path;
        road_lit = road_lit || (role == LineRole::road && tags.has("lit"));
        surface = surface || ((role == LineRole::road || role == LineRole::path) && tags.has("surface"));
        water = water || role == LineRole::water;
    }
    for (const map::TaggedNode& node : ground.tagged_nodes) {
        crossing_node =
            crossing_node || node.object.tags.is("highway", "crossing") || node.object.tags.has("crossing");
        gate = gate || node.object.tags.has("barrier");
    }
    std::vector<std::string> out;
    if (!any_way) return out;
    out.push_back(
        fmt::format("\"Similar roads nearby\" are all ways of the same class that were read, whole: those "
                    "that come within about {:.0f} m of the route. Shares are by length.",
                    given.map_reach_m));
    if (!water)
        out.push_back("No stream, river or canal is recorded near the route: water was not checked for.");
    if (!crossing_node)
        out.push_back(
            "No crossing place for walkers is recorded near the route: help at roads was not checked for.");
    if (!gate) out.push_back("No gate or stile is recorded near the route: they were not checked for.");
    if (!surface)
        out.push_back("No surface is recorded on any way near the route: surfaces were not checked.");
    if (!road_lit)
        out.push_back(
            "No street lighting is recorded on any road near the route: light was not checked for.");
    return out;
}

} // namespace waywarden::survey
