#include "survey/vehicle_reach.hpp"

#include "survey/remoteness.hpp"
#include "survey/way_facts.hpp"

#include <algorithm>

namespace waywarden::survey {

namespace {

constexpr double k_one_place_m = 20;

VehicleReach reach_of(const Scene& scene, map::WayIndex way, const WalkPoint& from, double to_m) {
    return {from.at_m,
            to_m,
            from.position,
            name_of(scene.tags(way)),
            map::access_of(scene.tags(way)),
            scene.way(way).object.id};
}

void add_of_walk(const Scene& scene, const Walk& walk, std::vector<VehicleReach>& out) {
    for (std::size_t i = 0; i < walk.steps.size(); ++i)
        if (const auto way = walk.steps[i].way; way && ambulance_can_use(scene.tags(*way)))
            out.push_back(reach_of(scene, *way, walk.points[i], walk.points[i + 1].at_m));
    for (const WalkPoint& p : walk.points) {
        if (p.node == map::k_no_node) continue;
        for (const map::WayIndex way : scene.ways_at(p.node))
            if (ambulance_can_use(scene.tags(way))) out.push_back(reach_of(scene, way, p, p.at_m));
    }
}

bool is_place(const VehicleReach& one) {
    return one.from_m == one.to_m;
}

bool same_road(const VehicleReach& a, const VehicleReach& b) {
    return a.osm == b.osm || (!a.name.empty() && a.name == b.name);
}

/// A road met that says more of how to get there than the one walked along does: a main road met from a lane,
/// or a named road at the lane's very end.
bool says_more(const VehicleReach& walked, const VehicleReach& met) {
    const bool main = met.access == map::Access::major_road && walked.access != map::Access::major_road;
    return main || (!is_place(walked) && met.from_m == walked.to_m && !met.name.empty());
}

bool is_one(const VehicleReach& a, const VehicleReach& b) {
    if (b.from_m - a.to_m >= k_one_place_m) return false;
    if (same_road(a, b)) return true;
    if (is_place(b)) return b.from_m <= a.to_m && !says_more(a, b);
    return is_place(a) && a.from_m == b.from_m && !says_more(b, a);
}

/// The last entry that is one with another. A main road met on the way does not part the lane walked along.
VehicleReach* one_with(std::vector<VehicleReach>& entries, const VehicleReach& another) {
    for (auto last = entries.rbegin(); last != entries.rend(); ++last) {
        if (is_one(*last, another)) return &*last;
        if (!is_place(*last)) return nullptr;
    }
    return nullptr;
}

} // namespace

std::vector<VehicleReach> find_vehicle_reach(const Scene& scene, const std::vector<Hit>& hits) {
    std::vector<VehicleReach> found;
    for (const Walk& walk : scene.walks())
        add_of_walk(scene, walk, found);
    for (const Hit& hit : hits)
        if (hit.of == CrossingOf::road && hit.way && ambulance_can_use(scene.tags(*hit.way)) &&
            (hit.means == Means::level || hit.means == Means::none))
            found.push_back(
                reach_of(scene, *hit.way, {hit.position, hit.at, hit.at_m, map::k_no_node}, hit.at_m));
    std::stable_sort(found.begin(), found.end(), [](const VehicleReach& a, const VehicleReach& b) {
        return a.from_m != b.from_m ? a.from_m < b.from_m : a.to_m > b.to_m;
    });
    std::vector<VehicleReach> out;
    for (const VehicleReach& one : found) {
        VehicleReach* known = one_with(out, one);
        if (!known) {
            out.push_back(one);
            continue;
        }
        VehicleReach& last = *known;
        if (last.from_m == last.to_m && one.to_m > one.from_m) { // a road joined and then walked along
            const double from_m = last.from_m;
            last = one;
            last.from_m = from_m;
        }
        last.to_m = std::max(last.to_m, one.to_m);
    }
    return out;
}

} // namespace waywarden::survey
