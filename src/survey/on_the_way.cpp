#include "survey/on_the_way.hpp"

#include "survey/way_facts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>

namespace waywarden::survey {

namespace {

using Words = std::map<std::string_view, std::string_view>;

std::string_view word_for(const Words& words, std::string_view value) {
    const auto at = words.find(value);
    return at == words.end() ? std::string_view{} : at->second;
}

/// Where the walk comes nearest to a place.
struct Nearest {
    double metres = std::numeric_limits<double>::infinity(), at_m = 0;
};

/// Two of one kind and name this near are one place: a pub's node inside the pub's building.
constexpr double k_same_place_m = 50;
/// A kind of place, and the key by which any other is one too (OSM wiki, Key:drinking_water).
constexpr std::string_view k_water = "drinking_water";

class Collector {
  public:
    Collector(const Scene& scene, const AreaFinder& finder)
        : m_scene(scene), m_finder(finder), m_near(scene.walks(), k_on_the_way_m),
          m_steps(scene.walks(), m_near, k_on_the_way_m) {}

    void take(const map::Object& object, geo::Position position) {
        if (place_kind(object.tags).empty()) return;
        const geo::Metres2 at = m_scene.frame().to_plane(position);
        Nearest nearest;
        come_nearer(at, nearest);
        keep(object, position, nearest);
    }

    void take(const map::Area& area) {
        if (place_kind(area.object.tags).empty() || area.polygons.empty() ||
            area.polygons.front().outer.empty())
            return;
        Nearest nearest;
        geo::Position position = area.polygons.front().outer.front();
        if (const auto& spans = m_finder.spans(area); !spans.empty()) {
            const WalkPoint entered = point_at(m_scene.walks()[spans.front().walk], spans.front().from);
            nearest = {0, entered.at_m};
            position = entered.position;
        } else {
            for (const auto& polygon : area.polygons)
                come_nearer_to(polygon.outer, nearest, position);
        }
        keep(area.object, position, nearest);
    }

    std::vector<PlaceOnTheWay> places() && {
        std::stable_sort(m_places.begin(), m_places.end(), [](const auto& a, const auto& b) {
            return a.at_m != b.at_m ? a.at_m < b.at_m : a.osm < b.osm;
        });
        return std::move(m_places);
    }

  private:
    void come_nearer(geo::Metres2 p, Nearest& nearest) const {
        PlaneBox box;
        box.add(p);
        m_steps.each(box, [&](std::size_t walk, std::size_t step) {
            come_nearer(p, m_scene.walks()[walk], step, nearest);
        });
    }

    static void come_nearer(geo::Metres2 p, const Walk& walk, std::size_t step, Nearest& nearest) {
        const WalkPoint &a = walk.points[step], &b = walk.points[step + 1];
        const auto here = geo::nearest_on_segment(p, a.at, b.at);
        const double at_m = a.at_m + here.fraction * (b.at_m - a.at_m);
        const bool as_near = here.distance_m < nearest.metres + 0.01;
        if (here.distance_m < nearest.metres - 0.01 || (as_near && at_m < nearest.at_m))
            nearest = {here.distance_m, at_m};
    }

    /// By the corners, and by places 20 m apart on long edges.
    void come_nearer_to(const std::vector<geo::Position>& ring, Nearest& nearest, geo::Position& position) {
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            const geo::Metres2 a = m_scene.frame().to_plane(ring[i]),
                               b = m_scene.frame().to_plane(ring[i + 1]);
            const int count = std::max(1, static_cast<int>(geo::length_m(b - a) / k_edge_step_m));
            for (int k = 0; k < count; ++k) {
                const geo::Metres2 at = a + (static_cast<double>(k) / count) * (b - a);
                const Nearest before = nearest;
                come_nearer(at, nearest);
                if (nearest.metres != before.metres) position = m_scene.frame().to_position(at);
            }
        }
    }

    static constexpr double k_edge_step_m = 20;

    void keep(const map::Object& object, geo::Position position, Nearest nearest) {
        if (nearest.metres > k_on_the_way_m) return;
        const auto kind = place_kind(object.tags);
        keep_as(kind, object, position, nearest);
        if (kind != k_water && map::yes(object.tags, k_water)) keep_as(k_water, object, position, nearest);
    }

    void keep_as(std::string_view kind, const map::Object& object, geo::Position position, Nearest nearest) {
        const std::string name = name_of(object.tags);
        const bool known = std::any_of(m_places.begin(), m_places.end(), [&](const PlaceOnTheWay& p) {
            return p.kind == kind && (p.name == name || p.name.empty() || name.empty()) &&
                   geo::length_m(m_scene.frame().to_plane(p.position) - m_scene.frame().to_plane(position)) <
                       k_same_place_m;
        });
        if (!known)
            m_places.push_back({std::string(kind), name, nearest.at_m, nearest.metres, position, object.id});
    }

    const Scene& m_scene;
    const AreaFinder& m_finder;
    NearCells m_near;
    StepsInCells m_steps;
    std::vector<PlaceOnTheWay> m_places;
};

} // namespace

bool is_paved(std::string_view surface) {
    for (const std::string_view word : {"paved", "asphalt", "concrete", "paving_stones", "sett",
                                        "cobblestone", "metal", "bricks", "chipseal", "tarmac"})
        if (surface.substr(0, word.size()) == word) return true;
    return false;
}

std::string_view place_kind(const map::Tags& t) {
    static const Words amenity{{"parking", "car_park"},
                               {"toilets", "toilets"},
                               {"drinking_water", "drinking_water"},
                               {"water_point", "drinking_water"},
                               {"shelter", "shelter"},
                               {"pub", "pub"},
                               {"bar", "pub"},
                               {"cafe", "cafe"},
                               {"restaurant", "cafe"},
                               {"place_of_worship", "worship"},
                               {"telephone", "phone"},
                               {"hospital", "hospital"},
                               {"clinic", "hospital"},
                               {"doctors", "hospital"}};
    static const Words tourism{{"viewpoint", "viewpoint"}, {"information", "information"},
                               {"camp_site", "camp_site"}, {"hostel", "lodging"},
                               {"hotel", "lodging"},       {"guest_house", "lodging"},
                               {"alpine_hut", "shelter"},  {"wilderness_hut", "shelter"}};
    static const Words emergency{
        {"access_point", "emergency_point"}, {"defibrillator", "defibrillator"}, {"phone", "phone"}};
    if (t.is("access", "private") || t.is("access", "no")) return "";
    if (t.is("highway", "emergency_access_point")) return "emergency_point";
    if (t.is("highway", "bus_stop")) return "bus_stop";
    if (t.is("public_transport", "platform") && map::yes(t, "bus")) return "bus_stop";
    if (const auto word = word_for(emergency, t.get("emergency")); !word.empty()) return word;
    if (t.is("amenity", "shelter") && t.is("shelter_type", "public_transport")) return ""; // at a bus stop
    if (const auto word = word_for(amenity, t.get("amenity")); !word.empty())
        return word == k_water && t.is(k_water, "no") ? "" : word;
    if (map::yes(t, "drinking_water")) return "drinking_water";
    if (const auto word = word_for(tourism, t.get("tourism")); !word.empty()) return word;
    if (t.is("shop", "convenience") || t.is("shop", "supermarket")) return "shop";
    if (t.has("historic") || t.has("heritage")) return t.is("historic", "no") ? "" : "heritage";
    return t.is("leisure", "nature_reserve") ? "nature" : "";
}

std::vector<PlaceOnTheWay> find_places_on_the_way(const Scene& scene, const AreaFinder& finder) {
    Collector collector(scene, finder);
    for (const map::TaggedNode& node : scene.ground().tagged_nodes)
        collector.take(node.object, node.position);
    for (const map::Area& area : scene.ground().areas)
        collector.take(area);
    return std::move(collector).places();
}

void count_on_the_way(const Scene& scene, Survey& out) {
    double stiles = 0, gates = 0, kissing_gates = 0;
    for (const Walk& walk : scene.walks())
        for (const WalkPoint& p : walk.points) {
            const map::TaggedNode* node = scene.ground().tagged(p.node);
            if (!node) continue;
            const auto barrier = node->object.tags.get("barrier");
            stiles += barrier == "stile";
            kissing_gates += barrier == "kissing_gate";
            gates += barrier.ends_with("gate") && barrier != "kissing_gate";
        }
    double flights = 0, steps_m = 0, paved_m = 0, unpaved_m = 0, unknown_m = 0;
    bool on_steps = false;
    std::map<std::string, double> by_surface;
    for (const StretchSurvey& stretch : out.stretches) {
        const Facts& facts = stretch.reading.facts;
        const double length_m = stretch.to_m - stretch.from_m;
        const bool steps = facts.flag("steps").value_or(false);
        flights += steps && !on_steps;
        on_steps = steps;
        if (steps) steps_m += length_m;
        const std::string surface = facts.text("surface");
        if (surface.empty()) {
            unknown_m += length_m;
        } else {
            (is_paved(surface) ? paved_m : unpaved_m) += length_m;
            by_surface[surface] += length_m;
        }
    }
    Facts& facts = out.route_facts;
    for (const auto& [name, value] : {std::pair{"stiles", stiles},
                                      {"gates", gates},
                                      {"kissing_gates", kissing_gates},
                                      {"flights_of_steps", flights},
                                      {"steps_m", steps_m},
                                      {"paved_m", paved_m},
                                      {"unpaved_m", unpaved_m},
                                      {"surface_unknown_m", unknown_m}})
        facts.set(name, value);
    std::vector<std::pair<double, std::string>> longest;
    for (const auto& [surface, length_m] : by_surface)
        longest.emplace_back(-length_m, surface);
    std::sort(longest.begin(), longest.end());
    std::string words;
    for (const auto& [length_m, surface] : longest)
        words += fmt::format("{}{} {:.0f} m", words.empty() ? "" : ", ", surface, -length_m);
    set_text(facts, "surfaces", words);
}

} // namespace waywarden::survey
