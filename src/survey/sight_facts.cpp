#include "survey/sight_facts.hpp"

#include "survey/areas.hpp"
#include "survey/pavements.hpp"
#include "survey/road_time.hpp"
#include "survey/spots.hpp"
#include "survey/way_facts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace waywarden::survey {

namespace {

constexpr double k_good = 1.5; ///< times the sight needed; common practice, no source
constexpr double k_sample_m = 20, k_margin_m = 1;

bool is_road(map::Access access) {
    return access == map::Access::minor_road || access == map::Access::major_road ||
           access == map::Access::motorway;
}

std::optional<double> tested_speed_kmh(const Facts& facts) {
    const auto source = facts.text("speed_limit_source");
    const auto lanes = facts.number("lanes");
    return sight_speed_kmh(
        facts.number("speed_limit_kmh"), source == "recorded" || source == "zone", facts.number("width_m"),
        lanes ? std::optional(static_cast<int>(std::lround(*lanes))) : std::nullopt, facts.text("highway"));
}

std::string speed_words(double kmh, bool in_mph) {
    constexpr double k_kmh_per_mph = 1.609344;
    return in_mph ? fmt::format("{:.0f} mph", kmh / k_kmh_per_mph) : fmt::format("{:.0f} km/h", kmh);
}

void set_sight(Facts& facts, std::string_view name, const Sight& sight) {
    if (sight.matters && sight.exact)
        facts.set(name, sight.metres);
    else
        facts.set_unknown(name);
}

std::string sight_words(const Roads::BothClearances& sight) {
    const bool high = sight.high.matters && sight.high.exact;
    if (!sight.low.matters || (!sight.low.exact && !high)) return "cannot be told from the map";
    if (sight.low.metres >= k_sight_limit_m) return fmt::format("{:.0f} m or more", k_sight_limit_m);
    const std::string to = high && sight.high.metres < k_sight_limit_m
                               ? fmt::format("{:.0f} m", sight.high.metres)
                               : "farther than can be told";
    return sight.low.exact ? fmt::format("{:.0f} m to {}", sight.low.metres, to) : "at most " + to;
}

/// Whether what is seen is surely below or surely not below a length; none where it cannot be told.
std::optional<bool> is_below(const Sight& sight, double metres) {
    if (!sight.matters) return std::nullopt;
    if (sight.metres >= metres) return false;
    return sight.exact ? std::optional(true) : std::nullopt;
}

std::string_view grade_of_crossing(const Roads::BothClearances& sight, std::optional<double> need_m,
                                   double stopping_m) {
    if (is_below(sight.high, stopping_m) == true) return "below_stopping";
    if (!need_m) return "unknown";
    if (is_below(sight.high, *need_m) == true) return "short";
    const auto below_good = is_below(sight.low, k_good * *need_m);
    return !below_good ? "unknown" : *below_good ? "caution" : "good";
}

/// The piece of road crossed: the part that was described where the road changes its number there.
map::WayIndex road_of(const Scene& scene, const Hit& hit, const Crossing& crossing) {
    for (const map::WayIndex other : hit.also)
        if (scene.way(other).object.id == crossing.osm) return other;
    return *hit.way;
}

void set_crossing(const Scene& scene, const Roads& roads, const Hit& hit, const Given& given,
                  Crossing& crossing) {
    Facts& facts = crossing.facts;
    const bool oneway = facts.flag("oneway").value_or(false);
    // The lanes of a place are those of all its carriageways, which are crossed one by one.
    const auto lanes = facts.number("lanes");
    const double parts = facts.number("carriageways").value_or(1);
    const RoadWidth width =
        road_width(facts.number("width_m"),
                   lanes ? std::optional(static_cast<int>(std::ceil(*lanes / parts))) : std::nullopt,
                   facts.text("highway"), oneway);
    facts.set("road_width_m", width.metres);
    facts.set("road_width_source", std::string(width.source));
    std::optional<double> need_m;
    const auto speed_kmh = tested_speed_kmh(facts);
    if (given.walkers) {
        const double time_s = group_cross_time_s(width.metres, *given.walkers);
        facts.set("cross_time_s", time_s);
        if (speed_kmh) need_m = sight_need_m(*speed_kmh, time_s);
    }
    const auto sight = roads.shortest(place_on_road(scene, road_of(scene, hit, crossing), hit.at),
                                      k_clearance_low_m, k_clearance_high_m);
    set_sight(facts, "sight_low_m", sight.low);
    set_sight(facts, "sight_high_m", sight.high);
    facts.set("sight", sight_words(sight));
    facts.set("sight_grade", std::string("unknown"));
    if (!speed_kmh) return;
    const double stopping_m = stopping_sight_m(*speed_kmh);
    facts.set("sight_speed_kmh", *speed_kmh);
    facts.set("sight_speed", speed_words(*speed_kmh, scene.region().speed_in_mph));
    facts.set("stopping_sight_m", stopping_m);
    if (need_m) facts.set("sight_need_m", *need_m);
    facts.set("sight_grade", std::string(grade_of_crossing(sight, need_m, stopping_m)));
}

/// A piece of a stretch where even with much clear beside the road too little is seen.
struct Blind {
    double from_m, to_m, least_m, least_at_m;
    geo::Position position;
};

/// The worst place along a stretch, and every blind piece.
struct Worst {
    std::optional<double> low_m, high_m;
    double at_m = 0;
    bool doubt = false; ///< somewhere the map does not tell
    std::vector<Blind> blind;
    bool in_blind = false;

    void take(const Roads::BothClearances& sight, const WalkPoint& here, double half_m, double stopping_m) {
        const bool blind_here = is_below(sight.high, stopping_m) == true;
        if (blind_here) add_blind(sight.high.metres, here, half_m);
        in_blind = blind_here;
        if (!sight.high.matters) return;
        doubt = doubt || !sight.high.exact || !sight.low.exact;
        if (sight.low.exact && sight.low.matters) low_m = std::min(low_m.value_or(1e9), sight.low.metres);
        if (!sight.high.exact || sight.high.metres >= high_m.value_or(1e9)) return;
        high_m = sight.high.metres;
        at_m = here.at_m;
    }

  private:
    void add_blind(double seen_m, const WalkPoint& here, double half_m) {
        if (!in_blind) blind.push_back({here.at_m - half_m, here.at_m, seen_m, here.at_m, here.position});
        Blind& last = blind.back();
        last.to_m = here.at_m + half_m;
        if (seen_m > last.least_m) return;
        last.least_m = seen_m;
        last.least_at_m = here.at_m;
        last.position = here.position;
    }
};

Worst worst_along(const Scene& scene, const Roads& roads, map::WayIndex way, const StretchSurvey& stretch,
                  double stopping_m) {
    // Farther than what is good the road need not be followed.
    const double limit_m = k_good * stopping_m + k_margin_m;
    Worst out;
    for (const Walk& walk : scene.walks()) {
        const StepRange steps = steps_between(walk, stretch.from_m, stretch.to_m);
        for (std::size_t i = steps.first; i < steps.end; ++i) {
            const WalkPoint &a = walk.points[i], &b = walk.points[i + 1];
            if (walk.steps[i].way != way || b.at_m <= stretch.from_m || a.at_m >= stretch.to_m) continue;
            PlaceOnRoad place = place_on_road(scene, way, 0.5 * (a.at + b.at));
            const int count =
                std::max(1, static_cast<int>(std::ceil(geo::length_m(b.at - a.at) / k_sample_m)));
            for (int k = 0; k < count; ++k) {
                const WalkPoint p = point_at(walk, {i, (k + 0.5) / count});
                place.at = p.at;
                if (p.at_m >= stretch.from_m && p.at_m <= stretch.to_m)
                    out.take(roads.shortest(place, k_clearance_low_m, k_clearance_high_m, limit_m), p,
                             0.5 * (b.at_m - a.at_m) / count, stopping_m);
            }
        }
    }
    return out;
}

std::string_view grade_of_stretch(const Worst& worst, double stopping_m) {
    if (worst.high_m && *worst.high_m < stopping_m) return "below_stopping";
    if (worst.low_m && *worst.low_m < k_good * stopping_m) return "caution";
    return worst.doubt || !worst.low_m ? "unknown" : "good";
}

void add_blind_spots(const Worst& worst, const StretchReading& reading, std::vector<Spot>& out) {
    for (const Blind& blind : worst.blind) {
        Spot spot = spot_of("blind_bend", blind.from_m, blind.to_m, blind.position, 0, true);
        spot.name = reading.name;
        set_text(spot.facts, "name", reading.name);
        spot.facts.set("length_m", blind.to_m - blind.from_m);
        spot.facts.set("sight_high_m", blind.least_m);
        spot.facts.set("sight_least_at_m", blind.least_at_m);
        for (const char* fact : {"highway", "sight_speed", "sight_speed_kmh", "stopping_sight_m"})
            if (const auto value = reading.facts.get(fact)) spot.facts.set(fact, *value);
        spot.evidence.push_back(reading.evidence);
        out.push_back(std::move(spot));
    }
}

void set_stretch(const Scene& scene, const Roads& roads, map::WayIndex way, StretchSurvey& stretch,
                 std::vector<Spot>& spots) {
    Facts& facts = stretch.reading.facts;
    facts.set("sight_grade", std::string("unknown"));
    const auto speed_kmh = tested_speed_kmh(facts);
    if (!speed_kmh) return;
    const double stopping_m = stopping_sight_m(*speed_kmh);
    facts.set("sight_speed_kmh", *speed_kmh);
    facts.set("sight_speed", speed_words(*speed_kmh, scene.region().speed_in_mph));
    facts.set("stopping_sight_m", stopping_m);
    const Worst worst = worst_along(scene, roads, way, stretch, stopping_m);
    facts.set("sight_grade", std::string(grade_of_stretch(worst, stopping_m)));
    add_blind_spots(worst, stretch.reading, spots);
    if (worst.low_m) facts.set("sight_low_m", *worst.low_m);
    if (!worst.high_m) return;
    facts.set("sight_high_m", *worst.high_m);
    facts.set("sight_least_at_m", worst.at_m);
}

} // namespace

void set_sight_of_crossings(const Scene& scene, const Roads& roads, const std::vector<Hit>& hits,
                            const Given& given, std::vector<Crossing>& crossings) {
    for (std::size_t i = 0; i < hits.size(); ++i) {
        const Means means = crossings[i].means;
        const bool at_grade = means == Means::level || means == Means::none || means == Means::ford;
        if (hits[i].of == CrossingOf::road && at_grade)
            set_crossing(scene, roads, hits[i], given, crossings[i]);
    }
}

void set_sight_of_stretches(const Scene& scene, const Roads& roads, std::vector<StretchSurvey>& stretches,
                            std::vector<Spot>& spots) {
    std::size_t in_trace = 0;
    const auto& traced = scene.trace().stretches;
    for (StretchSurvey& stretch : stretches) {
        while (in_trace + 1 < traced.size() && traced[in_trace].to_m <= stretch.from_m)
            ++in_trace;
        const auto way = traced[in_trace].way;
        if (way && is_road(stretch.reading.access) && !has_pavement(stretch.reading.facts))
            set_stretch(scene, roads, *way, stretch, spots);
    }
}

} // namespace waywarden::survey
