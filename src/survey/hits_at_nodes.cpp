#include "survey/arms.hpp"
#include "survey/hits.hpp"

#include <algorithm>
#include <array>

namespace waywarden::survey {

namespace {

struct Passing {
    const WalkPoint &in, &at, &out;
    std::optional<map::WayIndex> way_in, way_out;
};

/// Which sides of the walk a line has arms on.
struct Sides {
    map::WayIndex way = 0;
    bool left = false, right = false;
};

bool is_arm_walked(const Scene& scene, const Passing& pass, map::NodeIndex arm) {
    const auto walked = [&](const WalkPoint& p) {
        return p.node == arm ||
               (p.node == map::k_no_node && same_direction(pass.at.at, p.at, scene.node_at(arm)));
    };
    return walked(pass.in) || walked(pass.out);
}

std::vector<Sides> sides_of(const Scene& scene, const Passing& pass, LineRole role) {
    std::vector<Sides> out;
    for (const map::WayIndex way : scene.ways_at(pass.at.node)) {
        if (scene.role(way) != role || pass.way_in == way || pass.way_out == way) continue;
        Sides sides{way};
        for (const map::NodeIndex arm : arms_of(scene.way(way), pass.at.node)) {
            if (is_arm_walked(scene, pass, arm)) continue;
            (lies_left(pass.at.at, pass.in.at, pass.out.at, scene.node_at(arm)) ? sides.left : sides.right) =
                true;
        }
        if (sides.left || sides.right) out.push_back(sides);
    }
    return out;
}

/// A shared node of a path and a stream proves nothing: what carries the walkers over it?
Means means_over_water(const Scene& scene, const Passing& pass, map::WayIndex water) {
    const auto& over = scene.tags(water);
    if (map::yes(over, "tunnel") || map::yes(over, "culvert")) return Means::culvert;
    const auto walked_is = [&](bool map::WayFacts::*what) {
        return (pass.way_in && scene.facts(*pass.way_in).*what) ||
               (pass.way_out && scene.facts(*pass.way_out).*what);
    };
    if (walked_is(&map::WayFacts::bridge)) return Means::bridge;
    const map::TaggedNode* node = scene.ground().tagged(pass.at.node);
    const bool ford =
        (node && is_ford(node->object.tags)) || walked_is(&map::WayFacts::ford) || scene.facts(water).ford;
    return ford ? Means::ford : Means::none;
}

void find_at(const Scene& scene, std::size_t walk, const Passing& pass, std::vector<Hit>& out) {
    static constexpr std::array k_kinds{
        std::pair{LineRole::road, CrossingOf::road}, std::pair{LineRole::rail, CrossingOf::rail},
        std::pair{LineRole::water, CrossingOf::water}, std::pair{LineRole::barrier, CrossingOf::barrier}};
    const bool on_path = pass.way_in && pass.way_out;
    for (const auto& kind : k_kinds) {
        const LineRole role = kind.first;
        const CrossingOf of = kind.second;
        if (role == LineRole::barrier && on_path)
            continue; // a path through a wall has its gap, mapped or not
        const auto sides = sides_of(scene, pass, role);
        const auto add = [&](map::WayIndex way) -> Hit& {
            const Means means = role == LineRole::water ? means_over_water(scene, pass, way) : Means::level;
            out.push_back({.how = Hit::How::shared_node,
                           .of = of,
                           .means = means,
                           .walk = walk,
                           .at_m = pass.at.at_m,
                           .from_m = pass.at.at_m,
                           .to_m = pass.at.at_m,
                           .position = pass.at.position,
                           .at = pass.at.at,
                           .way = way,
                           .area = nullptr,
                           .also = {},
                           .walked = pass.way_in ? pass.way_in : pass.way_out,
                           .node = pass.at.node});
            return out.back();
        };
        bool through = false;
        for (const Sides& s : sides)
            if (s.left && s.right) {
                add(s.way);
                through = true;
            }
        const bool left = std::any_of(sides.begin(), sides.end(), [](const Sides& s) { return s.left; });
        const bool right = std::any_of(sides.begin(), sides.end(), [](const Sides& s) { return s.right; });
        if (through || !left || !right) continue;
        Hit& hit = add(sides.front().way); // one way ends here and another goes on
        for (const Sides& s : sides)
            if (s.way != *hit.way) hit.also.push_back(s.way);
    }
}

/// Whether water found there, or the way's own tags, tell of the ford already.
bool is_told(const std::vector<Hit>& hits, const Scene& scene, std::size_t walk, std::size_t point) {
    const Walk& of = scene.walks()[walk];
    const double at_m = of.points[point].at_m;
    const auto on_ford = [&](std::size_t step) {
        return step < of.steps.size() && of.steps[step].way && scene.facts(*of.steps[step].way).ford;
    };
    return on_ford(point) || (point > 0 && on_ford(point - 1)) ||
           std::any_of(hits.begin(), hits.end(), [&](const Hit& hit) {
               return hit.walk == walk && hit.of == CrossingOf::water &&
                      (hit.means == Means::ford || hit.means == Means::none) &&
                      hit.from_m - k_ford_m <= at_m && at_m <= hit.to_m + k_ford_m;
           });
}

} // namespace

bool is_ford(const map::Tags& tags) {
    return map::yes(tags, "ford") || tags.is("highway", "ford");
}

void find_fords(const Scene& scene, std::vector<Hit>& hits) {
    for (std::size_t w = 0; w < scene.walks().size(); ++w) {
        const Walk& walk = scene.walks()[w];
        for (std::size_t i = 0; i < walk.points.size(); ++i) {
            const WalkPoint& at = walk.points[i];
            const map::TaggedNode* node = scene.ground().tagged(at.node);
            if (!node || !is_ford(node->object.tags) || is_told(hits, scene, w, i)) continue;
            Hit& hit = hits.emplace_back();
            hit.how = Hit::How::shared_node;
            hit.of = CrossingOf::water;
            hit.means = Means::ford;
            hit.walk = w;
            hit.at_m = hit.from_m = hit.to_m = at.at_m;
            hit.position = at.position;
            hit.at = at.at;
            if (!walk.steps.empty()) hit.walked = walk.steps[std::min(i, walk.steps.size() - 1)].way;
            hit.node = at.node;
        }
    }
}

const map::Object& object_of(const Scene& scene, const Hit& hit) {
    if (hit.way && (hit.how != Hit::How::area || !hit.area)) return scene.way(*hit.way).object;
    return hit.area ? hit.area->object : scene.ground().tagged(hit.node)->object;
}

void find_at_shared_nodes(const Scene& scene, std::vector<Hit>& out) {
    for (std::size_t w = 0; w < scene.walks().size(); ++w) {
        const Walk& walk = scene.walks()[w];
        for (std::size_t i = 1; i + 1 < walk.points.size(); ++i) {
            const Passing pass{walk.points[i - 1], walk.points[i], walk.points[i + 1], walk.steps[i - 1].way,
                               walk.steps[i].way};
            if (pass.at.node == map::k_no_node || is_stub(scene, walk, i, k_stub_at_node)) continue;
            if (same_direction(pass.at.at, pass.in.at, pass.out.at)) continue; // turned round
            find_at(scene, w, pass, out);
        }
    }
}

} // namespace waywarden::survey
