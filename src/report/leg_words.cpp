#include "report/leg_words.hpp"

#include "geo/grid_reference.hpp"
#include "report/telling.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace waywarden::report {

namespace {

constexpr const char* k_not_known = "–";
constexpr std::size_t k_most_roads = 6;
constexpr double k_least_m = 5;

/// Adds what one more leg has to a sum, which stays unknown once anything is.
void add(std::optional<double>& sum, const std::optional<double>& more) {
    if (sum) sum = more ? std::optional(*sum + *more) : std::nullopt;
}

bool any_leg(const survey::LegTable& table, bool (*has)(const survey::Leg&)) {
    return std::any_of(table.legs.begin(), table.legs.end(), has);
}

/// Words from elsewhere as a sentence.
std::string sentence(const std::string& words) {
    return words.empty() || words.ends_with('.') ? words : words + ".";
}

std::string road_words(const survey::EscapeWay& road) {
    return road.name.empty() ? "unnamed " + access_words(road.access) : road.name;
}

} // namespace

std::string reference_of(const survey::Checkpoint& place, const Assessed& route) {
    return geo::grid_reference(place.position, route.grid);
}

std::string bearing_words(const std::optional<double>& bearing_deg) {
    return bearing_deg ? fmt::format("{:03}", survey::whole_degrees(*bearing_deg)) : k_not_known;
}

std::optional<double> bearing_of(const survey::Leg& leg) {
    return survey::has_bearing(leg) ? std::optional(leg.bearing_grid_deg) : std::nullopt;
}

std::optional<double> magnetic_bearing_of(const survey::Leg& leg) {
    return survey::has_bearing(leg) ? survey::bearing_magnetic_deg(leg, leg.bearing_grid_deg) : std::nullopt;
}

std::string minutes_words(const std::optional<double>& minutes) {
    if (!minutes) return k_not_known;
    const long whole = std::lround(*minutes);
    return whole < 60 ? fmt::format("{} min", whole) : fmt::format("{} h {:02}", whole / 60, whole % 60);
}

std::string clock_words(const std::optional<geo::LocalSeconds>& at) {
    if (!at) return k_not_known;
    using namespace std::chrono;
    const auto minute = round<minutes>(*at);
    const hh_mm_ss clock(minute - floor<days>(minute));
    return fmt::format("{:02}:{:02}", clock.hours().count(), clock.minutes().count());
}

std::string climb_words(const std::optional<double>& metres) {
    return metres ? fmt::format("{}", std::lround(*metres)) : k_not_known;
}

std::string km_of_leg(const survey::Leg& leg) {
    return fmt::format("{:.1f}", leg.length_m / 1000);
}

std::string underfoot_words(const survey::Leg& leg) {
    std::vector<std::pair<double, map::Access>> longest;
    for (const auto& [access, length_m] : leg.by_access)
        if (length_m >= k_least_m) longest.emplace_back(-length_m, access);
    std::sort(longest.begin(), longest.end());
    std::string out;
    for (const auto& [length_m, access] : longest)
        out +=
            fmt::format("{}{} {}", out.empty() ? "" : ", ", access_words(access), distance_words(-length_m));
    return out;
}

std::string escapes_words(const survey::Leg& leg) {
    std::string out;
    const std::size_t shown = std::min(leg.escapes.size(), k_most_roads);
    for (std::size_t i = 0; i < shown; ++i)
        out += fmt::format("{}{} (km {:.1f})", i ? ", " : "", road_words(leg.escapes[i]),
                           leg.escapes[i].at_m / 1000);
    if (leg.escapes.size() > shown) out += fmt::format(" and {} more", leg.escapes.size() - shown);
    return out;
}

LegSums sums_of(const survey::LegTable& table) {
    LegSums out{0, 0, 0, 0};
    for (const survey::Leg& leg : table.legs) {
        add(out.ascent_m, leg.ascent_m);
        add(out.descent_m, leg.descent_m);
        add(out.walking_min, leg.walking_min);
        add(out.rest_min, leg.rest_min);
    }
    return out;
}

std::vector<std::string> leg_notes(const Assessed& route) {
    const survey::LegTable& table = route.survey.legs;
    const bool climbs = any_leg(table, [](const survey::Leg& leg) { return leg.ascent_m.has_value(); });
    const bool times = any_leg(table, [](const survey::Leg& leg) { return leg.walking_min.has_value(); });
    std::vector<std::string> out;
    out.push_back(fmt::format("Legs by: {}. Distances are along the line as drawn. References are six "
                              "figures, eastings first.",
                              table.checkpoints_from));
    out.push_back(
        "Bearings are in degrees along the straight line from end to end, not the way to walk; "
        "\"leaves on\" is the way on over the first 50 m." +
        std::string(table.magnetic_by.empty() ? "" : " By compass: " + sentence(table.magnetic_by)));
    out.push_back(climbs ? "Climb: " + sentence(table.heights_from)
                         : "Climb is not known: no heights are known along the whole of any leg.");
    if (times)
        out.push_back(fmt::format("Time: {}. Rests are beside the walking time and within the leg; waiting, "
                                  "gates and looking at the map are not counted.",
                                  table.time_by));
    else
        out.push_back("Times are not told: they need heights and the pace of the party.");
    out.push_back("Ways out: roads the leg meets that a vehicle bringing help can be expected to use, as the "
                  "map records them; gates and soft ground are not looked at.");
    out.insert(out.end(), table.remarks.begin(), table.remarks.end());
    return out;
}

} // namespace waywarden::report
