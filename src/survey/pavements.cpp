#include "survey/pavements.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace waywarden::survey {

namespace {

constexpr double k_pavement_m = 25;
constexpr double k_footway_m = 15;
constexpr double k_parallel_cos = 0.906; // 25 degrees
constexpr double k_sample_m = 10;

bool is_footway(const map::Tags& tags) {
    const auto highway = tags.get("highway");
    return highway == "footway" || highway == "path" || highway == "cycleway" || highway == "pedestrian";
}

bool beside(const Scene& scene, geo::Metres2 p, geo::Metres2 along, std::vector<LinePiece>& pieces) {
    PlaneBox box;
    box.add(p);
    box.grow(k_pavement_m);
    scene.near(box, pieces);
    return std::any_of(pieces.begin(), pieces.end(), [&](LinePiece piece) {
        if (scene.role(piece.way) != LineRole::path) return false;
        const auto [a, b] = scene.ends(piece);
        const double apart_m = geo::nearest_on_segment(p, a, b).distance_m;
        if (apart_m > k_pavement_m) return false;
        const double length_m = geo::length_m(b - a);
        if (length_m == 0 ||
            std::abs(geo::dot(b - a, along)) < k_parallel_cos * length_m * geo::length_m(along))
            return false;
        const auto& tags = scene.tags(piece.way);
        if (!map::lifecycle(tags).empty()) return false;
        return map::access_of(tags) == map::Access::pavement || (apart_m <= k_footway_m && is_footway(tags));
    });
}

} // namespace

bool footway_runs_beside(const Scene& scene, std::size_t stretch) {
    std::vector<LinePiece> pieces;
    int samples = 0, found = 0;
    for (const Walk& walk : scene.walks()) {
        const StepRange steps = steps_of_stretch(walk, stretch);
        for (std::size_t i = steps.first; i < steps.end; ++i) {
            const geo::Metres2 a = walk.points[i].at, along = walk.points[i + 1].at - a;
            const int count = std::max(1, static_cast<int>(geo::length_m(along) / k_sample_m));
            for (int k = 0; k < count; ++k) {
                ++samples;
                if (beside(scene, a + ((k + 0.5) / count) * along, along, pieces)) ++found;
            }
        }
    }
    return samples > 0 && 2 * found >= samples;
}

} // namespace waywarden::survey
