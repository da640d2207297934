#include "survey/leg_figures.hpp"

#include "geo/magnetic.hpp"
#include "survey/along.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace waywarden::survey {

namespace {

constexpr double k_leaving_m = 50; ///< over which the way on leaving a checkpoint is taken
constexpr double k_degrees_per_radian = 180 / 3.14159265358979323846;

double turned(double degrees) {
    const double out = std::fmod(degrees, 360);
    return out < 0 ? out + 360 : out;
}

/// The way on leaving a place of the line: towards the place 50 m on, or as far as the leg or the segment of
/// the file goes.
double leaving_deg(const Along& along, double from_m, double to_m, geo::GridSystem grid) {
    double end_m = std::min(from_m + k_leaving_m, to_m);
    for (const auto& metres : along.metres())
        if (metres.back() > from_m && metres.back() < end_m) end_m = metres.back();
    return bearing_grid_deg(along.at(from_m), along.at(end_m), grid);
}

std::map<map::Access, double> metres_underfoot(const Survey& survey, double from_m, double to_m) {
    std::map<map::Access, double> out;
    for (const StretchSurvey& stretch : survey.stretches) {
        const double metres = std::min(stretch.to_m, to_m) - std::max(stretch.from_m, from_m);
        if (metres > 0) out[stretch.reading.access] += metres;
    }
    return out;
}

std::vector<EscapeWay> escapes_of(const Survey& survey, double from_m, double to_m) {
    constexpr double k_at_end_m = 1;
    std::vector<EscapeWay> out;
    for (const VehicleReach& road : survey.vehicle_reach)
        if (road.to_m > from_m - k_at_end_m && road.from_m < to_m + k_at_end_m)
            out.push_back({road.name, road.access, std::clamp(road.from_m, from_m, to_m)});
    std::stable_sort(out.begin(), out.end(),
                     [](const EscapeWay& a, const EscapeWay& b) { return a.at_m < b.at_m; });
    return out;
}

/// Without the descent a time is reckoned only by the methods that do not ask for it.
void set_told_climb(const LegBasis& basis, std::size_t index, Leg& leg) {
    const auto told = basis.told_climbs.find(index);
    if (told == basis.told_climbs.end()) return;
    leg.climb_is_told = true;
    leg.ascent_m = told->second.ascent_m;
    leg.descent_m = told->second.descent_m;
    if (!basis.effort) return;
    const TimeMethod method = basis.effort->method;
    const bool asks_for_descent = method != TimeMethod::party && method != TimeMethod::naismith;
    if (asks_for_descent && !leg.descent_m) return;
    leg.walking_min = walking_min(*basis.effort, leg.length_m, *leg.ascent_m, leg.descent_m.value_or(0));
    if (leg.walking_min) leg.rest_min = rest_min(*basis.effort, *leg.walking_min);
}

void set_climb_and_time(const LegBasis& basis, std::size_t index, Leg& leg) {
    const auto climb =
        basis.heights ? climb_between(*basis.heights, leg.from.at_m, leg.to.at_m) : std::nullopt;
    if (!climb) {
        set_told_climb(basis, index, leg);
        return;
    }
    leg.ascent_m = climb->ascent_m;
    leg.descent_m = climb->descent_m;
    if (!basis.effort) return;
    leg.walking_min = walking_min(*basis.effort, pieces_between(*basis.heights, leg.from.at_m, leg.to.at_m));
    leg.rest_min = rest_min(*basis.effort, *leg.walking_min);
}

Leg leg_between(const Along& along, const Survey& survey, const Checkpoint& from, const Checkpoint& to,
                const LegBasis& basis, std::size_t index) {
    Leg leg;
    leg.number = static_cast<int>(index + 1);
    leg.from = from;
    leg.to = to;
    leg.length_m = to.at_m - from.at_m;
    leg.straight_m = geo::distance_m(from.position, to.position);
    leg.bearing_grid_deg = bearing_grid_deg(from.position, to.position, basis.grid);
    leg.leaving_grid_deg = leaving_deg(along, from.at_m, to.at_m, basis.grid);
    leg.grid_magnetic_angle_deg = geo::grid_magnetic_angle_deg(from.position, basis.grid, basis.date);
    set_climb_and_time(basis, index, leg);
    leg.by_access = metres_underfoot(survey, from.at_m, to.at_m);
    leg.escapes = escapes_of(survey, from.at_m, to.at_m);
    return leg;
}

/// Leg after leg from the start, for as long as every time is known.
void set_clock(const Timetable& timetable, std::vector<Leg>& legs) {
    if (!timetable.start.has_clock) return;
    double gone_min = 0;
    for (Leg& leg : legs) {
        if (gone_min > k_longest_day_min) return;
        leg.leaves = clock_after(timetable, gone_min);
        if (!leg.walking_min || !leg.rest_min) return;
        gone_min += *leg.walking_min + *leg.rest_min;
        if (gone_min > k_longest_day_min) return;
        leg.arrives = clock_after(timetable, gone_min);
    }
}

void tell_of_gaps(const route::Route& route, LegTable& table) {
    for (const route::Oddity& oddity : route.oddities) {
        if (oddity.kind != route::OddityKind::gap) continue;
        for (const Leg& leg : table.legs)
            if (oddity.from_m >= leg.from.at_m && oddity.from_m <= leg.to.at_m) {
                table.remarks.push_back(fmt::format(
                    "The line of leg {} has a gap of {:.0f} m: its length, climb and time leave it out.",
                    leg.number, oddity.length_m));
                break;
            }
    }
}

std::string heights_words(const LegBasis& basis, const LegTable& table) {
    std::string out = basis.heights ? basis.heights->words : "";
    const bool told =
        std::any_of(table.legs.begin(), table.legs.end(), [](const Leg& leg) { return leg.climb_is_told; });
    if (told) out += out.empty() ? "as the card tells it" : "; where they lack, as the card tells it";
    return out;
}

} // namespace

double bearing_grid_deg(geo::Position from, geo::Position to, geo::GridSystem grid) {
    if (grid != geo::GridSystem::utm) {
        const geo::GridPosition a = geo::grid_position(from, grid), b = geo::grid_position(to, grid);
        if (a.in_area && b.in_area)
            return turned(std::atan2(b.easting_m - a.easting_m, b.northing_m - a.northing_m) *
                          k_degrees_per_radian);
    }
    const geo::GridPosition start = geo::grid_position(from, geo::GridSystem::utm);
    return turned(geo::azimuth_deg(from, to) - start.convergence_deg);
}

Facts leg_facts(const Leg& leg) {
    Facts out;
    const auto set = [&](const char* name, const std::optional<double>& value) {
        value ? out.set(name, *value) : out.set_unknown(name);
    };
    const auto metres = [&](std::initializer_list<map::Access> kinds) {
        double sum = 0;
        for (const map::Access kind : kinds)
            if (const auto at = leg.by_access.find(kind); at != leg.by_access.end()) sum += at->second;
        return sum;
    };
    using map::Access;
    out.set("leg_number", static_cast<double>(leg.number));
    out.set("from", leg.from.name);
    out.set("to", leg.to.name);
    out.set("length_m", leg.length_m);
    out.set("straight_m", leg.straight_m);
    set("ascent_m", leg.ascent_m);
    set("descent_m", leg.descent_m);
    set("walking_min", leg.walking_min);
    set("rest_min", leg.rest_min);
    out.set("road_m", metres({Access::minor_road, Access::major_road, Access::motorway}));
    out.set("major_road_m", metres({Access::major_road, Access::motorway}));
    out.set("path_m", metres({Access::footpath, Access::bridleway, Access::byway, Access::cycleway,
                              Access::track, Access::pavement}));
    out.set("open_ground_m", metres({Access::open_ground}));
    const auto count = static_cast<double>(leg.escapes.size());
    out.set("escape_ways", count);
    set("escape_ways_per_km", leg.length_m > 0 ? std::optional(count / (leg.length_m / 1000)) : std::nullopt);
    return out;
}

LegBasis leg_basis(const region::Region& region, std::int64_t today_s, const Given& given) {
    using namespace std::chrono;
    LegBasis out;
    out.grid = region.grid;
    out.timetable = given.timetable;
    out.heights = given.heights;
    out.effort = given.effort;
    const sys_days today = floor<days>(sys_seconds(seconds(today_s)));
    const auto start =
        given.timetable ? sys_days(floor<days>(given.timetable->start.at).time_since_epoch()) : today;
    out.date = year_month_day(start);
    return out;
}

LegTable find_legs(const route::Route& route, const Survey& survey, const LegBasis& basis,
                   const std::optional<LegSpacing>& every) {
    return legs_between(route, survey,
                        every ? checkpoints_every(route, *every) : checkpoints_of_file(route, basis.grid),
                        basis);
}

LegTable legs_between(const route::Route& route, const Survey& survey, CheckpointList checkpoints,
                      const LegBasis& basis) {
    LegTable out;
    out.checkpoints_from = std::move(checkpoints.from);
    out.remarks = std::move(checkpoints.remarks);
    const Along along(route);
    for (std::size_t i = 0; i + 1 < checkpoints.checkpoints.size(); ++i) {
        out.legs.push_back(
            leg_between(along, survey, checkpoints.checkpoints[i], checkpoints.checkpoints[i + 1], basis, i));
    }
    if (basis.timetable) set_clock(*basis.timetable, out.legs);
    for (Leg& leg : out.legs)
        leg.facts = leg_facts(leg);
    tell_of_gaps(route, out);
    out.heights_from = heights_words(basis, out);
    if (basis.effort) out.time_by = words_of(*basis.effort);
    out.magnetic_by = geo::magnetic_model_words(basis.date);
    return out;
}

} // namespace waywarden::survey
