#include "survey/arms.hpp"
#include "survey/hits.hpp"
#include "survey/water.hpp"

#include <algorithm>
#include <array>
#include <tuple>

namespace waywarden::survey {

namespace {

/// A centre line this near to where the walk enters or leaves the area is still its own.
constexpr double k_slack_m = 5;
/// Wider than this the area is more than the line in it: a creek on a flat, a stream through a lake.
constexpr double k_widest_river_m = 120;

/// What carries someone over water where this step runs.
Means carried_by(const Scene& scene, const WalkStep& step) {
    if (!step.way) return Means::none;
    const auto& tags = scene.tags(*step.way);
    if (scene.facts(*step.way).bridge) return Means::bridge;
    if (map::yes(tags, "tunnel")) return Means::tunnel;
    if (scene.facts(*step.way).ford) return Means::ford;
    if (scene.role(*step.way) == LineRole::ferry) return Means::ferry;
    const auto man_made = tags.get("man_made");
    const bool built =
        man_made == "pier" || man_made == "breakwater" || man_made == "groyne" || man_made == "quay";
    return built ? Means::bridge : Means::none;
}

/// Areas on which one walks dry over water.
bool is_solid(const map::Tags& tags) {
    static constexpr std::array<std::string_view, 5> k_built{"pier", "breakwater", "quay", "bridge",
                                                             "groyne"};
    const auto man_made = tags.get("man_made");
    return std::find(k_built.begin(), k_built.end(), man_made) != k_built.end() || tags.is("waterway", "dam");
}

/// Metres of a span by what carries the walkers; whatever is carried over half of it or more counts, since
/// the banks of a water area are seldom drawn exactly to the ends of its bridge.
Means means_in(const Scene& scene, const WaterSpan& water, const std::vector<AreaSpan>& solid) {
    const Walk& walk = scene.walks()[water.span.walk];
    if (water.area && map::yes(water.area->object.tags, "tunnel")) return Means::culvert;
    std::array<double, 7> metres{};
    double all_m = 0;
    for (std::size_t i = water.span.from.step; i <= water.span.to.step; ++i) {
        const WalkPlace from{i, i == water.span.from.step ? water.span.from.share : 0};
        const WalkPlace to{i, i == water.span.to.step ? water.span.to.share : 1};
        const double length_m = metres_between(walk, from, to);
        Means means = carried_by(scene, walk.steps[i]);
        const WalkPlace middle{i, (from.share + to.share) / 2};
        if (means == Means::none && std::any_of(solid.begin(), solid.end(), [&](const AreaSpan& s) {
                return s.walk == water.span.walk && s.from <= middle && middle <= s.to;
            }))
            means = Means::bridge;
        metres[static_cast<std::size_t>(means)] += length_m;
        all_m += length_m;
    }
    for (const Means means : {Means::bridge, Means::tunnel, Means::ferry, Means::ford})
        if (2 * metres[static_cast<std::size_t>(means)] >= all_m) return means;
    return Means::none;
}

/// Whether an area is no more than the bed of a line of water.
bool is_bed(const map::Tags& tags) {
    if (is_tidal_ground(tags)) return false;
    const auto water = tags.get("water");
    return tags.is("waterway", "riverbank") || (water != "lake" && water != "reservoir" && water != "lagoon");
}

bool is_line_of(const Hit& line, const WaterSpan& water, const Hit& area) {
    return line.of == CrossingOf::water && line.way && line.walk == area.walk &&
           line.at_m >= area.from_m - k_slack_m && line.at_m <= area.to_m + k_slack_m && water.area &&
           is_bed(water.area->object.tags) && area.to_m - area.from_m <= k_widest_river_m;
}

bool turns_round(const Scene& scene, const AreaSpan& span) {
    const auto& p = scene.walks()[span.walk].points;
    bool turned = false;
    for (std::size_t i = span.from.step + 1; i <= span.to.step; ++i)
        if (same_direction(p[i].at, p[i - 1].at, p[i + 1].at)) turned = !turned;
    return turned;
}

Hit hit_of(const Scene& scene, const WaterSpan& water, Means means) {
    const Walk& walk = scene.walks()[water.span.walk];
    const WalkPlace place = middle_of(walk, water.span.from, water.span.to);
    const WalkPoint middle = point_at(walk, place);
    Hit hit;
    hit.how = Hit::How::area;
    hit.of = CrossingOf::water;
    hit.means = means;
    hit.walk = water.span.walk;
    hit.at_m = middle.at_m;
    hit.from_m = point_at(walk, water.span.from).at_m;
    hit.to_m = point_at(walk, water.span.to).at_m;
    hit.position = middle.position;
    hit.at = middle.at;
    hit.way = water.coast;
    hit.area = water.area;
    hit.walked = walk.steps[place.step].way;
    return hit;
}

} // namespace

void find_water_areas(const Scene& scene, const AreaFinder& finder, const std::vector<WaterSpan>& waters,
                      std::vector<Hit>& hits) {
    if (waters.empty()) return;
    std::vector<AreaSpan> solid;
    for (const map::Area& area : scene.ground().areas)
        if (is_solid(area.object.tags))
            for (const AreaSpan& span : finder.spans(area))
                solid.push_back(span);
    const std::size_t lines = hits.size();
    for (const WaterSpan& water : waters) {
        const Means means = means_in(scene, water, solid);
        const bool goes_through =
            !water.span.starts_inside && !water.span.ends_inside && !turns_round(scene, water.span);
        if (!goes_through && means != Means::none && means != Means::ford)
            continue; // out along a pier and no farther
        const Hit area = hit_of(scene, water, means);
        bool listed = false;
        for (std::size_t i = 0; i < lines; ++i)
            if (is_line_of(hits[i], water, area)) {
                if (!hits[i].area) hits[i].area = water.area;
                listed = true;
            }
        if (!listed) hits.push_back(area);
    }
}

std::vector<Hit> find_hits(const Scene& scene, const AreaFinder& finder,
                           const std::vector<WaterSpan>& waters) {
    std::vector<Hit> hits;
    find_at_shared_nodes(scene, hits);
    find_staggered(scene, hits);
    find_cuts(scene, hits);
    find_water_areas(scene, finder, waters, hits);
    std::stable_sort(hits.begin(), hits.end(), [](const Hit& a, const Hit& b) {
        return std::tie(a.walk, a.at_m) < std::tie(b.walk, b.at_m);
    });
    return hits;
}

} // namespace waywarden::survey
