#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

/// How long a walk takes, by published rules of thumb. None knows the ground, the weather or the walkers.
namespace waywarden::survey {

/// A piece of the way that rises or falls evenly. `climb_m` is negative downhill.
struct ProfilePiece {
    double length_m = 0; ///< on the map
    double climb_m = 0;
};

enum class TimeMethod {
    party,             ///< the party's own pace and minutes for 100 m of climb
    naismith,          ///< 12 min/km and 10 min for 100 m of climb
    naismith_langmuir, ///< the same, with Langmuir's corrections on descent
    tobler,            ///< Tobler's hiking function
    din_33466          ///< DIN 33466:2004-05, for signposts
};
const char* to_string(TimeMethod method);
std::optional<TimeMethod> time_method(std::string_view name);

/// Who walks how. A load factor is a multiple of the walking time by whatever method.
struct Effort {
    TimeMethod method = TimeMethod::party;
    double pace_kmh = 4;            ///< method `party` only; more than 0
    double climb_min_per_100m = 10; ///< method `party` only
    double rest_min_per_h = 0;      ///< in an hour of walking, so beside it
    double load_factor = 1;
};

/// Minutes of walking, rests not counted.
/// - party, naismith: length at the pace and all that is climbed; descent costs nothing.
/// - naismith_langmuir: Naismith; for each piece that falls by 5 to 12 degrees 10 min less for 300 m of
///   descent, steeper than 12 degrees 10 min more, gentler than 5 degrees nothing. Both 5 and 12 belong to
///   the middle one. So the slope is that of the pieces given. (E. Langmuir, Mountaincraft and Leadership.)
/// - tobler: each piece at 6 exp(-3.5 |s + 0.05|) km/h, s its rise over its length (W. Tobler, NCGIA
/// Technical
///   Report 93-1, 1993), on a path.
/// - din_33466: 4 km/h; 300 m/h up and 500 m/h down; the larger of the two times and half of the smaller.
double walking_min(const Effort& effort, std::span<const ProfilePiece> pieces);

/// The same where only the sums are known. Nothing for naismith_langmuir and tobler where there is any
/// descent (or, for tobler, climb): they depend on the slope.
std::optional<double> walking_min(const Effort& effort, double length_m, double ascent_m, double descent_m);

/// Minutes of rest that go with minutes of walking.
double rest_min(const Effort& effort, double walking_min);

/// The method and its figures in words: `4 km/h and 10 min for 100 m of climb (the party's own pace)`.
std::string words_of(const Effort& effort);

} // namespace waywarden::survey
