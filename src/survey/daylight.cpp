#include "survey/daylight.hpp"

#include "geo/sun.hpp"
#include "route/route.hpp"
#include "survey/survey.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace waywarden::survey {

namespace {

using namespace std::chrono;

constexpr double k_sunset_deg = -0.833, k_dusk_deg = -6; ///< USNO: of the sun's centre

std::string clock(geo::LocalSeconds at) {
    const auto minute = round<minutes>(at);
    const hh_mm_ss time(minute - floor<days>(minute));
    return fmt::format("{:02}:{:02}", time.hours().count(), time.minutes().count());
}

std::string hours_words(double min) {
    const auto whole = std::lround(min);
    return whole < 60 ? fmt::format("{} min", whole) : fmt::format("{} h {:02} min", whole / 60, whole % 60);
}

/// The walking time that no climb, however it lies, can undercut.
std::optional<double> least_walking_min(const Effort& effort, const std::optional<HeightLine>& heights,
                                        double length_m) {
    const bool some = heights && !heights->ascent_m.empty();
    const double up_m = some ? heights->ascent_m.back() : 0, down_m = some ? heights->descent_m.back() : 0;
    if (effort.method == TimeMethod::tobler) return length_m / 6000 * 60 * effort.load_factor; // its fastest
    // Langmuir takes time off for descents, and nobody knows how many there are.
    if (effort.method == TimeMethod::naismith_langmuir) return std::nullopt;
    return walking_min(effort, length_m, up_m, down_m);
}

std::optional<double> sum_of_legs(const LegTable& table) {
    if (table.legs.empty()) return std::nullopt;
    double sum = 0;
    for (const Leg& leg : table.legs) {
        if (!leg.walking_min || !leg.rest_min) return std::nullopt;
        sum += *leg.walking_min + *leg.rest_min;
    }
    return sum;
}

geo::Position first_of(const route::Route& route) {
    return route.segments.empty() ? geo::Position{} : route.segments.front().points.front().position;
}

geo::Position last_of(const route::Route& route) {
    return route.segments.empty() ? geo::Position{} : route.segments.back().points.back().position;
}

/// Local times of the sun on the day of the start.
void set_sun(const Timetable& timetable, geo::Position from, geo::Position to, Daylight& out) {
    const year_month_day date(sys_days(floor<days>(timetable.start.at).time_since_epoch()));
    const geo::SunTimes morning = geo::sun_times(from, date), evening = geo::sun_times(to, date);
    const auto local = [&](const std::optional<geo::UtcSeconds>& at) {
        return at ? geo::to_local(timetable.zone, *at) : std::nullopt;
    };
    out.dawn = local(morning.dawn);
    out.rise = local(morning.rise);
    out.set = local(evening.set);
    out.dusk = local(evening.dusk);
    // Noon by the sun itself tells a day without an end from a night without one.
    const auto noon = sys_days(date) + seconds(std::lround(43200 - from.lon_deg * 240));
    const bool up = geo::sun_altitude_deg(from, noon) > k_sunset_deg;
    out.never_sets = !morning.rise && !evening.set && up;
    out.never_rises = !morning.rise && !evening.set && !up;
}

std::string sun_words(const Daylight& light) {
    if (light.never_sets) return "the sun does not set on that day";
    if (light.never_rises && light.dawn && light.dusk)
        return fmt::format("the sun does not rise on that day, civil twilight is from {} to {}",
                           clock(*light.dawn), clock(*light.dusk));
    if (light.never_rises) return "the sun does not rise on that day";
    const auto or_none = [](const std::optional<geo::LocalSeconds>& at) { return at ? clock(*at) : "none"; };
    return fmt::format("sunrise {}, sunset {}, {}, by the clock there; hills make the sun set earlier",
                       or_none(light.rise), or_none(light.set),
                       light.dusk ? "end of civil twilight " + clock(*light.dusk) : "twilight all night");
}

/// Whether the sun's centre is under an altitude when the clock says so; unknown where the clock is.
std::optional<bool> sun_below(double altitude_deg, geo::Position place, const Timetable& timetable,
                              const std::optional<geo::LocalSeconds>& at) {
    const auto utc = at ? geo::to_utc(timetable.zone, *at) : std::nullopt;
    if (!utc) return std::nullopt;
    return geo::sun_altitude_deg(place, *utc) < altitude_deg;
}

template <class T> void set(Facts& facts, const char* name, const std::optional<T>& value) {
    if (value)
        facts.set(name, *value);
    else
        facts.set_unknown(name);
}

std::optional<std::string> clock(const std::optional<geo::LocalSeconds>& at) {
    return at ? std::optional(clock(*at)) : std::nullopt;
}

/// What is too early by unknown climbs proves only that the light is gone, never that it is still there.
std::optional<bool> certain(const std::optional<bool>& dark, bool at_the_earliest) {
    return at_the_earliest && dark == false ? std::nullopt : dark;
}

void set_end_facts(const Timetable& timetable, geo::Position end, const Daylight& light, Facts& facts) {
    const bool least = light.ends_at_the_earliest;
    set(facts, "ends_after_sunset", certain(sun_below(k_sunset_deg, end, timetable, light.ends), least));
    set(facts, "ends_after_dusk", certain(sun_below(k_dusk_deg, end, timetable, light.ends), least));
    if (light.ends)
        facts.set("ends_at", clock(*light.ends) + (least ? " at the earliest, climbs not counted" : ""));
    else
        facts.set_unknown("ends_at");
    std::optional<double> left;
    if (light.ends && light.set && !least)
        left = duration<double, std::ratio<60>>(*light.set - *light.ends).count();
    set(facts, "daylight_left_min", left);
}

void set_leg_facts(const Timetable& timetable, Leg& leg) {
    const auto dark_at_start = sun_below(k_sunset_deg, leg.from.position, timetable, leg.leaves);
    const auto dark_at_end = sun_below(k_sunset_deg, leg.to.position, timetable, leg.arrives);
    set(leg.facts, "ends_after_sunset", dark_at_end);
    set(leg.facts, "ends_after_dusk", sun_below(k_dusk_deg, leg.to.position, timetable, leg.arrives));
    set(leg.facts, "ends_at", clock(leg.arrives));
    std::optional<bool> sets;
    if (dark_at_start && dark_at_end) sets = !*dark_at_start && *dark_at_end;
    set(leg.facts, "sun_sets_on_it", sets);
}

void set_length_facts(const DayLength& length, const Given& given, Facts& facts) {
    const auto hours = [](const std::optional<double>& min) {
        return min ? std::optional(*min / 60) : std::nullopt;
    };
    set(facts, "day_length_h", hours(length.minutes));
    set(facts, "day_length_least_h", hours(length.minutes ? length.minutes : length.at_least_min));
    if (length.minutes)
        facts.set("day_length", hours_words(*length.minutes));
    else if (length.at_least_min)
        facts.set("day_length", "at least " + hours_words(*length.at_least_min));
    else
        facts.set_unknown("day_length");
    set(facts, "rest_planned", given.effort ? std::optional(given.effort->rest_min_per_h > 0) : std::nullopt);
}

} // namespace

DayLength day_length(const LegTable& legs, const Given& given, double length_m) {
    DayLength out;
    if (!given.effort) return out;
    const auto with_rests = [&](double walking) { return walking + rest_min(*given.effort, walking); };
    out.minutes = sum_of_legs(legs);
    if (!out.minutes && given.heights)
        if (const auto pieces = pieces_between(*given.heights, 0, length_m); !pieces.empty())
            out.minutes = with_rests(walking_min(*given.effort, pieces));
    if (out.minutes)
        out.at_least_min = out.minutes;
    else if (const auto least = least_walking_min(*given.effort, given.heights, length_m))
        out.at_least_min = with_rests(*least);
    return out;
}

void set_daylight(const route::Route& route, const Given& given, Survey& survey) {
    Facts& facts = survey.route_facts;
    const bool clock_given = given.timetable && given.timetable->start.has_clock;
    facts.set("start_given", clock_given);
    const DayLength length = day_length(survey.legs, given, survey.length_m);
    set_length_facts(length, given, facts);
    if (!given.timetable) return;
    const Timetable& timetable = *given.timetable;
    Daylight& light = survey.daylight.emplace();
    set_sun(timetable, first_of(route), last_of(route), light);
    const bool clock_known = geo::to_utc(timetable.zone, timetable.start.at).has_value();
    if (clock_known) {
        light.words = sun_words(light);
        facts.set("daylight", light.words);
    }
    if (!clock_given) return;
    light.starts = timetable.start.at;
    if (length.at_least_min && *length.at_least_min <= k_longest_day_min) {
        light.ends = clock_after(timetable, *length.at_least_min);
        light.ends_at_the_earliest = !length.minutes;
    }
    set(facts, "starts_before_dawn", sun_below(k_dusk_deg, first_of(route), timetable, light.starts));
    set_end_facts(timetable, last_of(route), light, facts);
    facts.set("starts_at", clock(*light.starts));
    for (Leg& leg : survey.legs.legs)
        set_leg_facts(timetable, leg);
}

std::vector<std::string> times_not_seen(const Given& given, const Survey& survey) {
    std::vector<std::string> out;
    const double known = given.heights ? share_known(*given.heights) : 0;
    if (given.heights && !given.heights->why_not.empty()) out.push_back(given.heights->why_not);
    if (known == 0)
        out.push_back(
            "Heights are not known (elevations in the file, or --elevation): climbs, steepness and walking "
            "times were not worked out.");
    else if (known < 1)
        out.push_back(fmt::format(
            "Heights are known on {:.0f} % of the line: climbs and walking times of the rest were "
            "not worked out, nor steepness anywhere.",
            std::floor(known * 100)));
    else
        out.push_back("Steepness was not worked out.");
    if (!given.timetable || !given.timetable->start.has_clock)
        out.push_back(
            "No time of starting was given (--start): whether the walk ends in daylight was not checked.");
    else if (survey.daylight && survey.daylight->words.empty())
        out.push_back("The clock of the place is not known for this region: daylight was not checked.");
    return out;
}

} // namespace waywarden::survey
