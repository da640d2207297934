#include "survey/dangers.hpp"
#include "survey/spots.hpp"
#include "survey/way_facts.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <limits>
#include <optional>

namespace waywarden::survey {

namespace {

/// Half the width of a narrow runway and a little of its strip. Common practice, no source.
constexpr double k_runway_m = 10;
/// Two visits to one runway nearer than this are one.
constexpr double k_one_visit_m = 50;
constexpr double k_sample_m = 2.5;
/// A hazard recorded as a point is told of from this near: a node has no size, what it stands for has.
/// Common practice, no source.
constexpr double k_point_m = 30;
constexpr double k_on_way_m = 1;

/// What a point is a hazard by without the key: to fall into, or to be shot at in.
std::string_view hazard_of_point(const map::Tags& tags) {
    if (const auto hazard = hazard_of(tags); !hazard.empty()) return hazard;
    if (const auto pit = pit_of(tags); !pit.empty()) return pit;
    if (is_shooting_ground(tags)) return "shooting";
    const auto military = tags.get("military");
    return military == "danger_area" ? "military danger area" : military == "range" ? "firing range" : "";
}

/// What a node of the way walked itself says of the ground there.
/// Source: OSM wiki, Key:obstacle, Key:ladder, Key:flood_prone, Tag:natural=cave_entrance; from memory.
std::string hazard_on_way(const map::Tags& tags) {
    if (map::yes(tags, "obstacle")) return "an obstacle: " + std::string(tags.get("obstacle"));
    if (map::yes(tags, "flood_prone")) return "prone to flooding";
    if (tags.is("natural", "cave_entrance")) return "the mouth of a cave";
    if (map::yes(tags, "ladder") || tags.is("highway", "ladder")) return "a ladder";
    return tags.is("man_made", "adit") || tags.is("man_made", "mine_adit") ? "the mouth of a mine" : "";
}

/// What a way is a hazard by without the key (OSM wiki, Key:ice_road, Key:winter_road, Key:flood_prone).
std::string_view hazard_of_way(const map::Tags& tags) {
    if (const auto hazard = hazard_of(tags); !hazard.empty()) return hazard;
    if (map::yes(tags, "ice_road")) return "over the ice of frozen water";
    if (map::yes(tags, "winter_road")) return "only there while the ground is frozen";
    return map::yes(tags, "flood_prone") ? "prone to flooding" : "";
}

bool is_runway(const map::Tags& tags) {
    const auto aeroway = tags.get("aeroway");
    const bool runway =
        aeroway == "runway" || aeroway == "taxiway" || aeroway == "airstrip" || aeroway == "stopway";
    return runway && !map::yes(tags, "bridge") && !map::yes(tags, "tunnel") && !is_out_of_use(tags);
}

Spot spot_with(const map::Object& object, Spot spot) {
    spot.name = name_of(object.tags);
    set_text(spot.facts, "name", spot.name);
    spot.evidence.push_back(evidence_of(object));
    return spot;
}

/// Where the walk is on one runway.
class Visits {
  public:
    Visits(const Scene& scene, const map::Way& way) : m_scene(scene), m_way(way) {
        for (const map::NodeIndex node : way.nodes) {
            m_line.push_back(scene.node_at(node));
            m_box.add(m_line.back());
        }
        m_box.grow(k_runway_m);
        // no runway goes round in a ring; a taxiway may
        const bool ring = way.nodes.front() == way.nodes.back();
        m_is_area = ring && (way.object.tags.is("area", "yes") || !way.object.tags.is("aeroway", "taxiway"));
    }

    void find(std::vector<Spot>& out) const {
        bool near = false;
        m_scene.cells().each(m_box, [&](std::size_t) { near = true; });
        if (!near) return;
        for (const Walk& walk : m_scene.walks())
            find_of(walk, out);
    }

  private:
    struct Visit {
        double from_m, to_m, least_m;
        geo::Position position;
        bool off_path = false, recorded = true;
    };

    bool inside(geo::Metres2 p) const {
        bool in = false;
        for (std::size_t i = 0; i + 1 < m_line.size(); ++i) {
            const geo::Metres2 a = m_line[i], b = m_line[i + 1];
            if ((a.y_m > p.y_m) != (b.y_m > p.y_m) &&
                p.x_m < a.x_m + (b.x_m - a.x_m) * (p.y_m - a.y_m) / (b.y_m - a.y_m))
                in = !in;
        }
        return in;
    }

    double distance_m(geo::Metres2 p) const {
        if (m_is_area && inside(p)) return 0;
        double best_m = std::numeric_limits<double>::infinity();
        for (std::size_t i = 0; i + 1 < m_line.size(); ++i)
            best_m = std::min(best_m, geo::nearest_on_segment(p, m_line[i], m_line[i + 1]).distance_m);
        return best_m;
    }

    bool leads_over_or_under(const std::optional<map::WayIndex>& way) const {
        return way && (m_scene.facts(*way).bridge || m_scene.facts(*way).tunnel);
    }

    void find_of(const Walk& walk, std::vector<Spot>& out) const {
        std::vector<Visit> visits;
        for (std::size_t i = 0; i < walk.steps.size(); ++i) {
            PlaneBox step;
            step.add(walk.points[i].at);
            step.add(walk.points[i + 1].at);
            if (!step.meets(m_box) || leads_over_or_under(walk.steps[i].way)) continue;
            const double length_m = geo::length_m(walk.points[i + 1].at - walk.points[i].at);
            const int count = std::max(1, static_cast<int>(std::ceil(length_m / k_sample_m)));
            for (int k = 0; k <= count; ++k)
                visit(point_at(walk, {i, static_cast<double>(k) / count}), walk.steps[i].way, visits);
        }
        for (const Visit& visit : visits)
            out.push_back(spot_of_visit(visit));
    }

    void visit(const WalkPoint& p, const std::optional<map::WayIndex>& way,
               std::vector<Visit>& visits) const {
        const double here_m = distance_m(p.at);
        if (here_m > k_runway_m) return;
        if (visits.empty() || p.at_m - visits.back().to_m > k_one_visit_m)
            visits.push_back({p.at_m, p.at_m, here_m, p.position});
        Visit& last = visits.back();
        last.to_m = p.at_m;
        last.least_m = std::min(last.least_m, here_m);
        last.off_path = last.off_path || !way;
        const auto right = way ? m_scene.facts(*way).right.right : map::Right::unknown;
        last.recorded = last.recorded && (right == map::Right::recorded || right == map::Right::road);
    }

    Spot spot_of_visit(const Visit& visit) const {
        Spot out =
            spot_with(m_way.object, spot_of("runway", visit.from_m, visit.to_m, visit.position, 0, true));
        out.facts.set("off_path", visit.off_path);
        out.facts.set("on_recorded_right", visit.recorded);
        set_text(out.facts, "detail", m_way.object.tags.get("aeroway"));
        return out;
    }

    const Scene& m_scene;
    const map::Way& m_way;
    std::vector<geo::Metres2> m_line;
    PlaneBox m_box;
    bool m_is_area = false;
};

/// The place of the walk that is nearest to a point, if one is near enough.
std::optional<std::pair<WalkPoint, double>> nearest_on_walks(const Scene& scene, geo::Metres2 at) {
    std::optional<std::pair<WalkPoint, double>> best;
    for (const Walk& walk : scene.walks())
        for (std::size_t i = 0; i < walk.steps.size(); ++i) {
            const auto near = geo::nearest_on_segment(at, walk.points[i].at, walk.points[i + 1].at);
            if (near.distance_m > k_point_m || (best && near.distance_m >= best->second)) continue;
            best = {point_at(walk, {i, near.fraction}), near.distance_m};
        }
    return best;
}

void find_hazard_points(const Scene& scene, std::vector<Spot>& out) {
    for (const map::TaggedNode& node : scene.ground().tagged_nodes) {
        const std::string_view near = hazard_of_point(node.object.tags);
        const std::string hazard = near.empty() ? hazard_on_way(node.object.tags) : std::string(near);
        if (hazard.empty()) continue;
        const auto nearest = nearest_on_walks(scene, scene.frame().to_plane(node.position));
        if (!nearest || (near.empty() && nearest->second > k_on_way_m)) continue;
        const auto& [at, metres] = *nearest;
        out.push_back(
            spot_with(node.object, spot_of("hazard", at.at_m, at.at_m, at.position, metres, metres < 1)));
        set_text(out.back().facts, "detail", hazard);
    }
}

/// In the half of the year in which snow may lie north of the tropics people come down pistes fast; in summer
/// they are paths like others (OSM wiki, Key:piste:type). Common practice, no source.
std::string_view piste_of(const Scene& scene, const match::Stretch& stretch) {
    using namespace std::chrono;
    const auto type = scene.tags(*stretch.way).get("piste:type");
    if (type != "downhill" && type != "sled") return "";
    const auto when = scene.passing(stretch.from_m, stretch.to_m, stretch.line.front().position);
    if (!when || when->position.lat_deg < 0) return "";
    const month now = year_month_day(floor<days>(when->from)).month();
    return now >= November || now <= April ? "a piste, down which people come fast while snow lies" : "";
}

std::string_view hazard_walked(const Scene& scene, const match::Stretch& stretch) {
    if (!stretch.way) return "";
    const auto hazard = hazard_of_way(scene.tags(*stretch.way));
    return hazard.empty() ? piste_of(scene, stretch) : hazard;
}

/// Ways one after the other that carry the same one are one.
void find_hazards_walked(const Scene& scene, std::vector<Spot>& out) {
    std::string_view last;
    for (const match::Stretch& stretch : scene.trace().stretches) {
        const std::string_view hazard = hazard_walked(scene, stretch);
        if (hazard.empty() || hazard != last) {
            last = hazard;
            if (hazard.empty()) continue;
            out.push_back(
                spot_with(scene.way(*stretch.way).object, spot_of("hazard", stretch.from_m, stretch.to_m,
                                                                  stretch.line.front().position, 0, true)));
            set_text(out.back().facts, "detail", hazard);
            continue;
        }
        Spot& spot = out.back();
        spot.to_m = stretch.to_m;
        spot.facts.set("length_m", spot.to_m - spot.from_m);
        spot.evidence.push_back(evidence_of(scene.way(*stretch.way).object));
    }
}

} // namespace

void find_hazard_spots(const Scene& scene, std::vector<Spot>& out) {
    for (const map::Way& way : scene.ground().ways)
        if (is_runway(way.object.tags)) Visits(scene, way).find(out);
    find_hazard_points(scene, out);
    find_hazards_walked(scene, out);
}

} // namespace waywarden::survey
