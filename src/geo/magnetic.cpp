#include "geo/magnetic.hpp"

#include "error.hpp"
#include "geo/magnetic_model.hpp"

#include <GeographicLib/Geocentric.hpp>
#include <GeographicLib/SphericalHarmonic.hpp>
#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <sstream>
#include <vector>

namespace waywarden::geo {

namespace {

constexpr int k_degree = 12;
constexpr double k_radius_m = 6371200;                         ///< the model's reference sphere
constexpr double k_epoch = 2025, k_first = 2025, k_end = 2030; ///< years
constexpr double k_blackout_nt = 2000;
constexpr double k_deg_per_rad = 180 / std::numbers::pi;

/// Schmidt semi-normalized, in the order of GeographicLib::SphericalEngine: by order, then by degree.
struct Coefficients {
    std::vector<double> cosine, sine;
    Coefficients() : cosine((k_degree + 1) * (k_degree + 2) / 2), sine(cosine.size()) {}
    static std::size_t at(int degree, int order) {
        return static_cast<std::size_t>(order * k_degree - order * (order - 1) / 2 + degree);
    }
};

struct Model {
    Coefficients field, yearly;
};

Model read_model() {
    Model out;
    std::istringstream text(k_magnetic_model);
    std::string header;
    std::getline(text, header);
    int rows = 0, degree = 0, order = 0;
    double g = 0, h = 0, g_yearly = 0, h_yearly = 0;
    while (text >> degree && degree <= k_degree && text >> order >> g >> h >> g_yearly >> h_yearly) {
        const std::size_t i = Coefficients::at(degree, order);
        out.field.cosine.at(i) = g;
        out.field.sine.at(i) = h;
        out.yearly.cosine.at(i) = g_yearly;
        out.yearly.sine.at(i) = h_yearly;
        ++rows;
    }
    if (header.find("WMM-2025") == std::string::npos || rows != 90)
        throw InternalError("the magnetic model built into this program is not whole");
    return out;
}

/// Read when the first bearing is asked for.
const Model& model() {
    static const Model one = read_model();
    return one;
}

Coefficients coefficients(double year) {
    Coefficients out = model().field;
    for (std::size_t i = 0; i < out.cosine.size(); ++i) {
        out.cosine[i] += (year - k_epoch) * model().yearly.cosine[i];
        out.sine[i] += (year - k_epoch) * model().yearly.sine[i];
    }
    // GeographicLib keeps no sines of order 0.
    out.sine.erase(out.sine.begin(), out.sine.begin() + k_degree + 1);
    return out;
}

bool on_the_globe(Position p) {
    return std::abs(p.lat_deg) <= 90 && std::isfinite(p.lon_deg);
}

} // namespace

double decimal_year(std::chrono::year_month_day date) {
    using namespace std::chrono;
    const sys_days first = date.year() / January / 1, next = (date.year() + years(1)) / January / 1;
    return static_cast<int>(date.year()) + static_cast<double>((sys_days(date) - first).count()) /
                                               static_cast<double>((next - first).count());
}

std::optional<MagneticField> magnetic_field(Position place, double height_m, double year) {
    if (!(year >= k_first && year <= k_end) || !on_the_globe(place)) return std::nullopt;
    const Coefficients c = coefficients(year);
    const GeographicLib::SphericalHarmonic potential(c.cosine, c.sine, k_degree, k_radius_m,
                                                     GeographicLib::SphericalHarmonic::SCHMIDT);
    double x = 0, y = 0, z = 0;
    std::vector<double> axes(9); ///< east, north and up as the columns of a matrix by rows
    GeographicLib::Geocentric::WGS84().Forward(place.lat_deg, place.lon_deg, height_m, x, y, z, axes);
    double gx = 0, gy = 0, gz = 0;
    potential(x, y, z, gx, gy, gz);
    // The field is minus the gradient of the reference radius times the sum.
    const auto along = [&](std::size_t column) {
        return -k_radius_m * (axes[column] * gx + axes[3 + column] * gy + axes[6 + column] * gz);
    };
    return MagneticField{along(1), along(0), -along(2)};
}

std::optional<double> magnetic_declination_deg(Position place, std::chrono::year_month_day date) {
    if (!date.ok()) return std::nullopt;
    const auto field = magnetic_field(place, 0, decimal_year(date));
    if (!field || std::hypot(field->north_nt, field->east_nt) < k_blackout_nt) return std::nullopt;
    return std::atan2(field->east_nt, field->north_nt) * k_deg_per_rad;
}

std::optional<double> grid_magnetic_angle_deg(Position place, GridSystem system,
                                              std::chrono::year_month_day date) {
    const auto declination = magnetic_declination_deg(place, date);
    if (!declination) return std::nullopt;
    const GridPosition grid = grid_position(place, system);
    if (!std::isfinite(grid.easting_m) || !std::isfinite(grid.convergence_deg)) return std::nullopt;
    return std::remainder(*declination - grid.convergence_deg, 360);
}

std::string magnetic_model_words(std::chrono::year_month_day date) {
    if (date.ok() && decimal_year(date) >= k_first && decimal_year(date) <= k_end)
        return fmt::format("World Magnetic Model 2025, for {:04}-{:02}-{:02}", static_cast<int>(date.year()),
                           static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
    return "No magnetic bearings: the World Magnetic Model 2025 holds from 2025 to the end of 2029 only, and "
           "the "
           "date is outside it.";
}

} // namespace waywarden::geo
