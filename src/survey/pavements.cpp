#include "survey/pavements.hpp"

#include "map/right_reading.hpp"
#include "map/tag_words.hpp"
#include "survey/marked_state.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <initializer_list>

namespace waywarden::survey {

namespace {

constexpr double k_pavement_m = 25;
constexpr double k_footway_m = 15;
constexpr double k_parallel_cos = 0.906; // 25 degrees
constexpr double k_sample_m = 10;
/// A shorter run is a junction or a crumb; common practice, no source. Rules tell of 50 m and more.
constexpr double k_run_counts_m = 50;

bool is_footway(const map::Tags& tags) {
    return map::among(tags.get("highway"), {"footway", "path", "cycleway", "pedestrian"}) &&
           !map::among(tags.get("footway"), {"crossing", "access_aisle", "traffic_island"});
}

/// Harder than T2 of the SAC scale, or a grade that cannot be read.
bool is_hard(const map::Tags& tags, const map::WayFacts& facts) {
    if (facts.via_ferrata || facts.ford || facts.tidal) return true;
    const auto& scale = map::k_sac_scale;
    const auto grade = std::find(scale.begin(), scale.end(), facts.sac_scale);
    return tags.has("sac_scale") && (grade == scale.end() || grade - scale.begin() > 2);
}

/// A passage through a building and a gallery against snow are as high as the ground (OSM wiki, Key:tunnel).
bool leads_under(const map::Tags& tags) {
    return map::yes(tags, "tunnel") &&
           !map::among(tags.get("tunnel"), {"building_passage", "avalanche_protector"});
}

/// What goes along a road, and whether it frees walkers from it.
class Beside {
  public:
    Beside(const Scene& scene, map::WayIndex road, std::optional<map::At> when)
        : m_scene(scene), m_road(road), m_when(std::move(when)) {}

    bool at(geo::Metres2 p, geo::Metres2 along) {
        PlaneBox box;
        box.add(p);
        box.grow(k_pavement_m);
        m_scene.near(box, m_pieces);
        return std::any_of(m_pieces.begin(), m_pieces.end(), [&](LinePiece piece) {
            if (m_scene.role(piece.way) != LineRole::path) return false;
            const auto [a, b] = m_scene.ends(piece);
            const auto nearest = geo::nearest_on_segment(p, a, b);
            if (nearest.distance_m > k_pavement_m) return false;
            const double length_m = geo::length_m(b - a);
            if (length_m == 0 ||
                std::abs(geo::dot(b - a, along)) < k_parallel_cos * length_m * geo::length_m(along))
                return false;
            const bool of_road = map::access_of(m_scene.tags(piece.way)) == map::Access::pavement;
            if (!of_road && nearest.distance_m > footway_reach_m()) return false;
            return frees(piece.way, of_road) && !parted(p, a + nearest.fraction * (b - a), of_road);
        });
    }

  private:
    double footway_reach_m() const {
        return m_scene.facts(m_road).pavement == map::Pavement::separate ? k_pavement_m : k_footway_m;
    }

    bool frees(map::WayIndex way, bool of_road) {
        const auto known = m_frees.find(way);
        if (known != m_frees.end()) return known->second;
        const map::Tags& tags = m_scene.tags(way);
        const bool out = (of_road || is_footway(tags)) && is_open(tags) &&
                         !is_hard(tags, m_scene.facts(way)) && is_level(way);
        return m_frees.emplace(way, out).first->second;
    }

    /// Unknown is never safe: a right that is in doubt frees nobody from the road.
    bool is_open(const map::Tags& tags) const {
        if (!map::lifecycle(tags).empty() || !marked_state(tags, m_when).empty()) return false;
        if (tags.is("access", "no") && !tags.has("foot")) return false; // whatever its designation
        const map::RightReading right = map::right_of(tags, m_scene.region(), m_when);
        if (right.value == "discouraged" || right.right == map::Right::unknown ||
            right.right == map::Right::restricted || right.right == map::Right::forbidden)
            return false;
        if (!m_when) return !tags.has("opening_hours");
        return map::closed_on_foot(tags, m_scene.region(), *m_when).state == map::ClosedReading::State::no;
    }

    bool is_level(map::WayIndex way) const {
        const map::WayFacts &walked = m_scene.facts(way), &road = m_scene.facts(m_road);
        const bool under = leads_under(m_scene.tags(way));
        if (walked.indoor || walked.bridge != road.bridge || under != leads_under(m_scene.tags(m_road)))
            return false;
        if (const auto floor = m_scene.tags(way).get("level"); !floor.empty() && floor != "0") return false;
        if ((walked.bridge || under) && !(walked.layer && road.layer)) return true;
        return walked.layer.value_or(0) == road.layer.value_or(0);
    }

    /// Whether something lies between that walkers do not get over. A pavement of the road may well have a
    /// hedge, a ditch or a brook between; any other path behind one is another way than the road.
    bool parted(geo::Metres2 p, geo::Metres2 q, bool of_road) const {
        return std::any_of(m_pieces.begin(), m_pieces.end(), [&](LinePiece piece) {
            if (!parts(piece.way, of_road)) return false;
            const auto [a, b] = m_scene.ends(piece);
            const auto across = [](geo::Metres2 s, geo::Metres2 e, geo::Metres2 one, geo::Metres2 other) {
                return (geo::cross(e - s, one - s) > 0) != (geo::cross(e - s, other - s) > 0);
            };
            return across(p, q, a, b) && across(a, b, p, q);
        });
    }

    bool parts(map::WayIndex way, bool of_road) const {
        const map::Tags& tags = m_scene.tags(way);
        switch (m_scene.role(way)) {
        case LineRole::water:
            if (map::yes(tags, "tunnel") || map::yes(tags, "culvert")) return false;
            return !of_road ||
                   map::among(tags.get("waterway"), {"river", "canal", "tidal_channel", "rapids"});
        case LineRole::barrier: // not those that stand between traffic and walkers
            return !of_road &&
                   !map::among(tags.get("barrier"), {"guard_rail", "jersey_barrier", "cable_barrier"});
        case LineRole::rail:
            return map::lifecycle(tags).empty() && !tags.is("railway", "tram") && !leads_under(tags) &&
                   !map::yes(tags, "bridge");
        case LineRole::coast:
        case LineRole::cliff:
            return true;
        default:
            return false;
        }
    }

    const Scene& m_scene;
    map::WayIndex m_road;
    std::optional<map::At> m_when;
    std::vector<LinePiece> m_pieces;
    std::map<map::WayIndex, bool> m_frees;
};

double length_of(const PavementRun& run) {
    return run.to_m - run.from_m;
}

/// Gives short runs of one kind to their neighbours, where these are at least as long.
void join_short(std::vector<PavementRun>& runs, bool kind) {
    std::vector<PavementRun> out;
    const auto add = [&](PavementRun run) {
        if (!out.empty() && out.back().beside == run.beside)
            out.back().to_m = run.to_m;
        else
            out.push_back(run);
    };
    for (std::size_t i = 0; i < runs.size(); ++i) {
        PavementRun run = runs[i];
        const double around_m =
            (i > 0 ? length_of(runs[i - 1]) : 0) + (i + 1 < runs.size() ? length_of(runs[i + 1]) : 0);
        if (run.beside == kind && length_of(run) < k_run_counts_m && length_of(run) <= around_m)
            run.beside = !kind;
        add(run);
    }
    runs = std::move(out);
}

} // namespace

std::vector<PavementRun> pavement_runs(const Scene& scene, std::size_t stretch, map::WayIndex road) {
    const match::Stretch& on = scene.trace().stretches[stretch];
    Beside beside(scene, road,
                  on.line.empty() ? std::nullopt
                                  : scene.passing(on.from_m, on.to_m, on.line.front().position));
    std::vector<PavementRun> runs;
    for (const Walk& walk : scene.walks()) {
        const StepRange steps = steps_of_stretch(walk, stretch);
        for (std::size_t i = steps.first; i < steps.end; ++i) {
            const WalkPoint &a = walk.points[i], &b = walk.points[i + 1];
            const geo::Metres2 along = b.at - a.at;
            const int count = std::max(1, static_cast<int>(geo::length_m(along) / k_sample_m));
            for (int k = 0; k < count; ++k) {
                const double from = static_cast<double>(k) / count, to = (k + 1.0) / count;
                const bool found = beside.at(a.at + ((from + to) / 2) * along, along);
                const double to_m = a.at_m + to * (b.at_m - a.at_m);
                if (runs.empty() || runs.back().beside != found)
                    runs.push_back({a.at_m + from * (b.at_m - a.at_m), to_m, found});
                else
                    runs.back().to_m = to_m;
            }
        }
    }
    join_short(runs, false);
    join_short(runs, true);
    return runs;
}

bool has_pavement(const Facts& facts) {
    const std::string own = facts.text("pavement", "none");
    return (own != "none" && own != "separate") || facts.flag("pavement_beside").value_or(false);
}

bool footway_runs_beside(const std::vector<PavementRun>& runs, double from_m, double to_m) {
    double with_m = 0, all_m = 0;
    for (const PavementRun& run : runs) {
        const double shared_m = std::max(0.0, std::min(run.to_m, to_m) - std::max(run.from_m, from_m));
        all_m += shared_m;
        if (run.beside) with_m += shared_m;
    }
    return all_m > 0 && 2 * with_m >= all_m;
}

} // namespace waywarden::survey
