#include "survey/survey.hpp"

#include "survey/along.hpp"
#include "survey/coverage_of_tags.hpp"
#include "survey/describe.hpp"
#include "survey/leg_figures.hpp"
#include "survey/on_the_way.hpp"
#include "survey/party_needs.hpp"
#include "survey/remoteness.hpp"
#include "survey/sight_facts.hpp"
#include "survey/spots.hpp"
#include "survey/stretches.hpp"
#include "survey/vehicle_reach.hpp"
#include "survey/water_edge.hpp"

#include <algorithm>

namespace waywarden::survey {

const char* to_string(CrossingOf of) {
    switch (of) {
    case CrossingOf::road:
        return "road";
    case CrossingOf::rail:
        return "rail";
    case CrossingOf::water:
        return "water";
    case CrossingOf::barrier:
        return "barrier";
    }
    return "road";
}

const char* to_string(Means means) {
    switch (means) {
    case Means::level:
        return "level";
    case Means::bridge:
        return "bridge";
    case Means::tunnel:
        return "tunnel";
    case Means::culvert:
        return "culvert";
    case Means::ford:
        return "ford";
    case Means::ferry:
        return "ferry";
    case Means::none:
        return "none";
    }
    return "none";
}

geo::Position position_at(const route::Route& route, double at_m) {
    return Along(route).at(at_m);
}

Survey survey(const route::Route& route, const map::Ground& ground, const match::Trace& trace,
              const region::Region& region, std::int64_t today_s, const Given& given) {
    Survey out;
    out.length_m = trace.length_m;
    const Scene scene(ground, trace, region, given.timetable);
    const AreaFinder finder(scene);
    const auto waters = find_water_spans(scene, finder);
    const auto hits = find_hits(scene, finder, waters);
    out.crossings = describe_crossings(scene, hits);
    out.stretches = describe_stretches(scene, finder, waters);
    const Roads roads(scene, given.map_reach_m);
    set_sight_of_crossings(scene, roads, hits, given, out.crossings);
    set_sight_of_stretches(scene, roads, out.stretches, out.spots);
    set_tag_shares(ground.tagged_lengths, out);
    out.places = find_places_on_the_way(scene, finder);
    find_area_spots(scene, finder, out.spots);
    find_barrier_spots(scene, out.spots);
    find_hazard_spots(scene, out.spots);
    find_edge_spots(scene, finder, out.spots);
    find_water_edges(scene, out.spots);
    find_line_spots(route, out.spots);
    find_map_spots(scene, route, finder, today_s, out.spots);
    find_doubt_spots(out.stretches, out.spots);
    find_farthest_from_road(scene, hits, out);
    out.vehicle_reach = find_vehicle_reach(scene, hits);
    std::stable_sort(out.spots.begin(), out.spots.end(),
                     [](const Spot& a, const Spot& b) { return a.from_m < b.from_m; });
    out.route_facts.set("length_m", out.length_m);
    if (const auto age = map_age_days(ground, today_s))
        out.route_facts.set("map_age_days", *age);
    else
        out.route_facts.set_unknown("map_age_days");
    if (const std::string date = map_date(ground); !date.empty()) out.route_facts.set("map_date", date);
    count_escapes(scene, out);
    count_on_the_way(scene, out);
    set_route_needs(scene, out);
    set_party_times(given, out);
    out.legs = find_legs(route, out, leg_basis(region, today_s, given), given.legs_every);
    set_daylight(route, given, out);
    out.not_seen = what_is_not_seen(ground);
    const auto of_times = times_not_seen(given, out);
    out.not_seen.insert(out.not_seen.end() - 1, of_times.begin(), of_times.end());
    return out;
}

} // namespace waywarden::survey
