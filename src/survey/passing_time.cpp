#include "survey/passing_time.hpp"

#include <algorithm>
#include <cmath>

namespace waywarden::survey {

namespace {

using namespace std::chrono;

constexpr double k_faster = 1.25, k_slower = 1.25; // common practice, no source
constexpr double k_late_min = 15;                  // common practice, no source

} // namespace

geo::LocalSeconds clock_after(const Timetable& timetable, double minutes) {
    const seconds by(std::llround(minutes * 60));
    const auto utc = geo::to_utc(timetable.zone, timetable.start.at);
    const auto local = utc ? geo::to_local(timetable.zone, *utc + by) : std::nullopt;
    return local.value_or(timetable.start.at + by);
}

std::optional<map::At> passing(const Timetable& timetable, double from_m, double to_m,
                               geo::Position position) {
    const auto& pace = timetable.pace;
    const auto walking_min = [&](double metres) { return metres / 1000 / pace->kmh * 60; };
    const geo::LocalSeconds midnight = floor<days>(timetable.start.at);
    const geo::LocalSeconds end_of_day = midnight + days(1) - minutes(1);
    map::At out{midnight, end_of_day, position, timetable.zone};
    if (pace && pace->kmh <= 0) return std::nullopt;
    const double slowest_min =
        pace ? walking_min(to_m) * (1 + pace->rest_min_per_h / 60) * k_slower + k_late_min : 0;
    if (slowest_min > k_longest_day_min) return std::nullopt;
    if (!timetable.start.has_clock) return out;
    out.from = timetable.start.at;
    if (!pace) return out;
    out.from = clock_after(timetable, walking_min(from_m) / k_faster);
    out.to = clock_after(timetable, slowest_min);
    return out;
}

} // namespace waywarden::survey
