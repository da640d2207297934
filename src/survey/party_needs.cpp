#include "survey/party_needs.hpp"

#include "survey/on_the_way.hpp"
#include "survey/pavements.hpp"
#include "survey/queue.hpp"
#include "survey/remoteness.hpp"
#include "survey/road_time.hpp"

#include <algorithm>
#include <cmath>

namespace waywarden::survey {

namespace {

constexpr double k_between_groups_s = 10;
constexpr double k_rail_width_m = 10; ///< a double track with its gates; common practice, no source

/// The longest piece of 0 to `length_m` without any of `places`, and where it begins.
struct Longest {
    double metres = 0, from_m = 0;
};

Longest longest_without(std::vector<double> places, double length_m) {
    places.push_back(length_m);
    std::sort(places.begin(), places.end());
    Longest out;
    double from_m = 0;
    for (const double at_m : places) {
        if (at_m - from_m > out.metres) out = {at_m - from_m, from_m};
        from_m = at_m;
    }
    return out;
}

void set_longest(Facts& facts, const std::string& what, std::vector<double> places, double length_m) {
    const Longest longest = longest_without(std::move(places), length_m);
    facts.set("longest_without_" + what + "_m", longest.metres);
    facts.set("longest_without_" + what + "_from_m", longest.from_m);
}

std::vector<double> places_of(const Survey& survey, std::string_view kind) {
    std::vector<double> out;
    for (const PlaceOnTheWay& place : survey.places)
        if (place.kind == kind) out.push_back(place.at_m);
    return out;
}

bool is_road(map::Access access) {
    return access == map::Access::minor_road || access == map::Access::major_road;
}

/// Streets for people are no road walking.
bool is_street_for_people(const Facts& facts) {
    const std::string highway = facts.text("highway");
    return highway == "pedestrian" || highway == "living_street" || highway == "service";
}

void set_road_metres(Survey& out) {
    double bare_m = 0, run_m = 0, longest_m = 0;
    for (const StretchSurvey& stretch : out.stretches) {
        const Facts& facts = stretch.reading.facts;
        const bool bare =
            is_road(stretch.reading.access) && !has_pavement(facts) && !is_street_for_people(facts);
        const double length_m = stretch.to_m - stretch.from_m;
        bare_m += bare ? length_m : 0;
        run_m = bare ? run_m + length_m : 0;
        longest_m = std::max(longest_m, run_m);
    }
    out.route_facts.set("road_without_pavement_m", bare_m);
    out.route_facts.set("longest_road_without_pavement_m", longest_m);
    if (out.length_m > 0) out.route_facts.set("road_without_pavement_share", 100 * bare_m / out.length_m);
}

/// Whether a car park lies within 300 m of where the walk begins, in any direction.
bool car_park_around_start(const Scene& scene) {
    if (scene.walks().empty() || scene.walks().front().points.empty()) return false;
    const geo::Metres2 start = scene.walks().front().points.front().at;
    const auto near = [&](geo::Position p) {
        return geo::length_m(scene.frame().to_plane(p) - start) <= k_start_m;
    };
    const auto& nodes = scene.ground().tagged_nodes;
    const auto& areas = scene.ground().areas;
    return std::any_of(nodes.begin(), nodes.end(),
                       [&](const map::TaggedNode& node) {
                           return place_kind(node.object.tags) == "car_park" && near(node.position);
                       }) ||
           std::any_of(areas.begin(), areas.end(), [&](const map::Area& area) {
               return place_kind(area.object.tags) == "car_park" &&
                      std::any_of(area.polygons.begin(), area.polygons.end(), [&](const auto& polygon) {
                          return std::any_of(polygon.outer.begin(), polygon.outer.end(), near);
                      });
           });
}

void set_queue(Facts& facts, std::optional<double> seconds_each, int people) {
    if (seconds_each) facts.set("queue_min", queue_min(*seconds_each, people));
}

} // namespace

std::optional<double> pass_s_per_walker_on(const Facts& stretch) {
    if (stretch.flag("ladder").value_or(false)) return 15;
    if (stretch.flag("ford").value_or(false)) return 4;
    if (stretch.flag("steps").value_or(false)) return 2;
    const auto width_m = stretch.number("width_m");
    return width_m ? narrow_s_per_walker(*width_m) : std::nullopt;
}

double party_cross_min(double group_cross_time_s, int people, int group_size) {
    const int groups = (people + group_size - 1) / std::max(group_size, 1);
    return (groups * group_cross_time_s + (groups - 1) * k_between_groups_s) / 60;
}

void set_party_times(const Given& given, Survey& out) {
    if (!given.people || *given.people < 1) return;
    const int people = *given.people;
    for (StretchSurvey& stretch : out.stretches)
        set_queue(stretch.reading.facts, pass_s_per_walker_on(stretch.reading.facts), people);
    for (Spot& spot : out.spots) {
        const std::string kind = spot.facts.text("barrier_kind");
        if (!kind.empty()) set_queue(spot.facts, pass_s_per_walker(kind), people);
    }
    if (!given.walkers || *given.walkers < 1) return;
    for (Crossing& crossing : out.crossings) {
        auto time_s = crossing.facts.number("cross_time_s");
        const bool on_rails = crossing.of == CrossingOf::rail &&
                              (crossing.means == Means::level || crossing.means == Means::none);
        if (on_rails) time_s = group_cross_time_s(k_rail_width_m, *given.walkers);
        if (time_s) crossing.facts.set("party_cross_min", party_cross_min(*time_s, people, *given.walkers));
    }
}

void set_route_needs(const Scene& scene, Survey& out) {
    Facts& facts = out.route_facts;
    set_longest(facts, "toilets", places_of(out, "toilets"), out.length_m);
    set_longest(facts, "water", places_of(out, "drinking_water"), out.length_m);
    set_longest(facts, "way_off", escapes_at_m(scene), out.length_m);
    const auto at_start = [&](std::string_view kind) {
        const auto places = places_of(out, kind);
        return std::any_of(places.begin(), places.end(), [](double at_m) { return at_m <= k_start_m; });
    };
    facts.set("parking_at_start", at_start("car_park") || car_park_around_start(scene));
    facts.set("toilets_at_start", at_start("toilets"));
    set_road_metres(out);
}

} // namespace waywarden::survey
