#include "survey/walking_time.hpp"

#include "error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace waywarden::survey {

namespace {

constexpr double k_naismith_min_per_km = 12, k_naismith_min_per_100m = 10;
constexpr double k_langmuir_min_per_m = 10.0 / 300;
constexpr double k_gentle_deg = 5, k_steep_deg = 12;

double of_climb(double min_per_km, double min_per_100m, double length_m, double ascent_m) {
    return length_m / 1000 * min_per_km + ascent_m / 100 * min_per_100m;
}

double party_min(const Effort& effort, double length_m, double ascent_m) {
    if (!(effort.pace_kmh > 0)) throw InternalError("a pace of no speed");
    return of_climb(60 / effort.pace_kmh, effort.climb_min_per_100m, length_m, ascent_m);
}

double naismith_min(double length_m, double ascent_m) {
    return of_climb(k_naismith_min_per_km, k_naismith_min_per_100m, length_m, ascent_m);
}

/// What Langmuir takes off (negative) or adds for a piece downhill.
double langmuir_min(const ProfilePiece& piece) {
    const double descent_m = -piece.climb_m;
    if (descent_m <= 0) return 0;
    const double slope_deg = std::atan2(descent_m, piece.length_m) * 180 / std::numbers::pi;
    if (slope_deg < k_gentle_deg) return 0;
    return (slope_deg > k_steep_deg ? 1 : -1) * descent_m * k_langmuir_min_per_m;
}

double tobler_min(const ProfilePiece& piece) {
    if (piece.length_m <= 0) return 0;
    const double kmh = 6 * std::exp(-3.5 * std::abs(piece.climb_m / piece.length_m + 0.05));
    return piece.length_m / 1000 / kmh * 60;
}

double din_33466_min(double length_m, double ascent_m, double descent_m) {
    const double flat_min = length_m / 4000 * 60, upright_min = (ascent_m / 300 + descent_m / 500) * 60;
    return std::max(flat_min, upright_min) + std::min(flat_min, upright_min) / 2;
}

/// By the methods that need no slope; nothing by the others.
std::optional<double> by_sums(const Effort& effort, double length_m, double ascent_m, double descent_m) {
    switch (effort.method) {
    case TimeMethod::party:
        return party_min(effort, length_m, ascent_m);
    case TimeMethod::naismith:
        return naismith_min(length_m, ascent_m);
    case TimeMethod::din_33466:
        return din_33466_min(length_m, ascent_m, descent_m);
    case TimeMethod::naismith_langmuir:
    case TimeMethod::tobler:
        break;
    }
    return std::nullopt;
}

} // namespace

const char* to_string(TimeMethod method) {
    switch (method) {
    case TimeMethod::party:
        return "party";
    case TimeMethod::naismith:
        return "naismith";
    case TimeMethod::naismith_langmuir:
        return "naismith_langmuir";
    case TimeMethod::tobler:
        return "tobler";
    case TimeMethod::din_33466:
        return "din_33466";
    }
    throw InternalError("a method of walking time without a name");
}

std::optional<TimeMethod> time_method(std::string_view name) {
    for (const TimeMethod method : {TimeMethod::party, TimeMethod::naismith, TimeMethod::naismith_langmuir,
                                    TimeMethod::tobler, TimeMethod::din_33466})
        if (name == to_string(method)) return method;
    return std::nullopt;
}

double walking_min(const Effort& effort, std::span<const ProfilePiece> pieces) {
    double length_m = 0, ascent_m = 0, descent_m = 0, by_slope_min = 0;
    const bool tobler = effort.method == TimeMethod::tobler;
    for (const ProfilePiece& piece : pieces) {
        length_m += piece.length_m;
        ascent_m += std::max(piece.climb_m, 0.0);
        descent_m += std::max(-piece.climb_m, 0.0);
        by_slope_min += tobler ? tobler_min(piece) : langmuir_min(piece);
    }
    if (const auto min = by_sums(effort, length_m, ascent_m, descent_m)) return *min * effort.load_factor;
    return (tobler ? by_slope_min : naismith_min(length_m, ascent_m) + by_slope_min) * effort.load_factor;
}

std::optional<double> walking_min(const Effort& effort, double length_m, double ascent_m, double descent_m) {
    if (const auto min = by_sums(effort, length_m, ascent_m, descent_m)) return *min * effort.load_factor;
    const bool tobler = effort.method == TimeMethod::tobler;
    if (descent_m > 0 || (tobler && ascent_m > 0)) return std::nullopt;
    const ProfilePiece whole{length_m, ascent_m};
    return walking_min(effort, {&whole, 1});
}

double rest_min(const Effort& effort, double walking_min) {
    return walking_min / 60 * effort.rest_min_per_h;
}

std::string words_of(const Effort& effort) {
    std::string out;
    switch (effort.method) {
    case TimeMethod::party:
        out = fmt::format("the party's own pace, {:g} km/h and {:g} min for 100 m of climb", effort.pace_kmh,
                          effort.climb_min_per_100m);
        break;
    case TimeMethod::naismith:
        out = "Naismith's rule, 12 min for 1 km and 10 min for 100 m of climb";
        break;
    case TimeMethod::naismith_langmuir:
        out = "Naismith's rule with Langmuir's corrections on descent, by slopes of about 50 m";
        break;
    case TimeMethod::tobler:
        out = "Tobler's hiking function, by slopes of about 50 m";
        break;
    case TimeMethod::din_33466:
        out = "DIN 33466, 4 km/h, 300 m/h up and 500 m/h down";
        break;
    }
    if (effort.load_factor != 1) out += fmt::format(", times {:g} for loads", effort.load_factor);
    if (effort.rest_min_per_h > 0)
        out += fmt::format(", and {:g} min of rest in each hour", effort.rest_min_per_h);
    return out;
}

} // namespace waywarden::survey
