#pragma once

#include "geo/grid_reference.hpp"
#include "geo/position.hpp"

#include <chrono>
#include <optional>
#include <string>

/// Where a compass needle points: the World Magnetic Model 2025 of NOAA NCEI and the British Geological
/// Survey, degree and order 12, valid from 2025.0 up to 2030.0. Iron in the ground, fences and magnetic
/// storms are not in it; the model itself is off by about half a degree in Britain (its report, chapter 3).
namespace waywarden::geo {

/// The main field in nanotesla; z down.
struct MagneticField {
    double north_nt = 0, east_nt = 0, down_nt = 0;
};

/// `year` is a decimal year (2027.5), `height_m` above the WGS 84 ellipsoid. Nothing outside 2025.0 to
/// 2030.0 or for a position off the globe.
std::optional<MagneticField> magnetic_field(Position place, double height_m, double year);

/// A date as a decimal year: 1 July 2025 is 2025 + 181/365.
double decimal_year(std::chrono::year_month_day date);

/// From true north to magnetic north at the ellipsoid, degrees, east positive. Nothing outside the years of
/// the model, for no date, or where the needle has no direction (horizontal field under 2000 nT, the
/// model's own "blackout zone").
std::optional<double> magnetic_declination_deg(Position place, std::chrono::year_month_day date);

/// From grid north to magnetic north, degrees, east positive: declination less convergence. A bearing
/// by compass is the grid bearing less this. Nothing where the declination or the grid is not known.
std::optional<double> grid_magnetic_angle_deg(Position place, GridSystem system,
                                              std::chrono::year_month_day date);

/// The model by name, or in one sentence why it does not reach a date.
std::string magnetic_model_words(std::chrono::year_month_day date);

} // namespace waywarden::geo
