#pragma once

#include <optional>
#include <string_view>

/// How long a group is on a road and how far it must see, by published formulas. All are pure functions.
namespace waywarden::survey {

/// Seconds that `walkers` (1 or more) need to get over `width_m` of road as the Highway Capacity Manual
/// reckons: L/1.07 + 3 + 2 (rows - 1), rows = int(8 (N - 1)/W) + 1, where W is the width in feet over which
/// the group stands side by side and 8 ft the front of one walker; W = 8 is single file. Source: HCM 2010,
/// ch. 19, pedestrian mode at two-way stop-controlled intersections (3.5 ft/s, 3 s to start and clear).
double cross_time_s(double width_m, int walkers, double front_ft);

/// The same for a group that nobody has drawn up: up to ten go in single file, more spread out over 16 ft,
/// which never makes them faster than ten in file. Common practice, no source for ten and 16 ft.
double group_cross_time_s(double width_m, int walkers);

/// Metres a vehicle covers from the moment its driver sees something to standing still: v t + v^2 / 2d.
/// `deceleration_g` in units of 9.81 m/s2. Sources: DMRB CD 109 (2 s; 0.25 g desirable, 0.375 g one step
/// below); Manual for Streets (DfT 2007) 7.5: 1.5 s and 0.45 g up to 60 km/h.
double stopping_sight_m(double speed_kmh, double reaction_s, double deceleration_g);

/// That of CD 109 one step below desirable, 2 s and 0.375 g: shorter than this a driver who brakes at the
/// walkers' first sight does not stop in time.
double stopping_sight_m(double speed_kmh);

/// Sight that lets a group start whenever nothing is to be seen: the way a vehicle makes meanwhile.
double sight_need_m(double speed_kmh, double cross_time_s);

/// How wide a road is to cross, and how that is known.
struct RoadWidth {
    double metres = 0;
    std::string_view source; ///< "recorded", "lanes" (3 m each, 3.65 m on A roads), "class"
};

/// `width_m` and `lanes` as recorded; `highway` is the class. By class where neither is recorded: trunk and
/// primary 7.3 m (CD 127), secondary 6.5, tertiary 6, residential 5.5, unclassified 4.8, service and the like
/// 3.5; one-way roads half, at least 3.5 m. Below secondary: common practice, no source.
RoadWidth road_width(std::optional<double> width_m, std::optional<int> lanes, std::string_view highway,
                     bool oneway);

constexpr double k_lane_speed_kmh = 64.37376; ///< 40 mph

/// The speed that sight is tested at. A lane that is narrow (recorded under 5 m or as one lane), or of a
/// class below tertiary with a limit that is only presumed, is tested at 40 mph where its legal limit is
/// higher: nobody drives at 60 mph there, and testing all lanes at it would say nothing of which are worse.
/// Common practice, no source. None where no limit is known.
std::optional<double> sight_speed_kmh(std::optional<double> limit_kmh, bool limit_recorded,
                                      std::optional<double> width_m, std::optional<int> lanes,
                                      std::string_view highway);

} // namespace waywarden::survey
