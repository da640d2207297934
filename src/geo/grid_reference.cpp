#include "geo/grid_reference.hpp"

#include "error.hpp"
#include "geo/grid_projection.hpp"

#include <GeographicLib/MGRS.hpp>
#include <GeographicLib/UTMUPS.hpp>
#include <fmt/format.h>

#include <cctype>
#include <cmath>
#include <exception>

namespace waywarden::geo {

namespace {

constexpr std::string_view k_letters =
    "ABCDEFGHJKLMNOPQRSTUVWXYZ"; ///< five by five, A in the north-west, no I
constexpr double k_square_m = 100'000;

/// The letter of a cell in a block of five by five, counted from its south-west corner.
char letter_of(int east, int north) {
    return k_letters[static_cast<std::size_t>((4 - north) * 5 + east)];
}

/// Letters of the 100 km square. The British false origin lies 1000 km east and 500 km north of the corner
/// of the 500 km squares' block (Ordnance Survey, A guide to coordinate systems in Great Britain).
std::string square_letters(int east, int north, GridSystem system) {
    if (system == GridSystem::irish) return {letter_of(east, north)};
    return {letter_of((east + 10) / 5, (north + 5) / 5), letter_of(east % 5, north % 5)};
}

/// Numbers from a projection carry its noise: a thousandth of a millimetre below a line counts as on it, so
/// that the corner of a square has the reference of the square.
constexpr double k_noise_m = 1e-6;

/// "914 113" from metres: truncated, zero padded.
std::string digits_of(double easting_m, double northing_m, int figures) {
    const int each = figures / 2;
    const double cell_m = k_square_m / std::pow(10, each);
    const auto part = [&](double metres) {
        return static_cast<long>(std::floor(std::fmod(metres, k_square_m) / cell_m));
    };
    return fmt::format("{:0{}} {:0{}}", part(easting_m), each, part(northing_m), each);
}

std::string mgrs_reference(Position p, int figures) {
    int zone = 0;
    bool northern = false;
    double easting_m = 0, northing_m = 0;
    GeographicLib::UTMUPS::Forward(p.lat_deg, p.lon_deg, zone, northern, easting_m, northing_m);
    std::string whole;
    GeographicLib::MGRS::Forward(zone, northern, easting_m, northing_m, p.lat_deg, figures / 2, whole);
    // 30UXC644394, near the poles ZAH644394 without a zone number
    const std::size_t digits = whole.size() - static_cast<std::size_t>(figures);
    return fmt::format("{} {} {} {}", whole.substr(0, digits - 2), whole.substr(digits - 2, 2),
                       whole.substr(digits, static_cast<std::size_t>(figures / 2)),
                       whole.substr(digits + static_cast<std::size_t>(figures / 2)));
}

std::string compact_upper(std::string_view text) {
    std::string out;
    for (const char c : text)
        if (!std::isspace(static_cast<unsigned char>(c)))
            out += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    return out;
}

bool all_digits(std::string_view text) {
    return text.find_first_not_of("0123456789") == std::string_view::npos;
}

struct Metres {
    double easting_m = 0, northing_m = 0;
};

/// The south-west corner of the 100 km square, or empty where there are no such letters in use.
std::optional<Metres> corner_of(std::string_view letters, GridSystem system) {
    int east = 0, north = 0;
    for (const char letter : letters) {
        const std::size_t at = k_letters.find(letter);
        if (at == std::string_view::npos) return std::nullopt;
        east = east * 5 + static_cast<int>(at % 5);
        north = north * 5 + 4 - static_cast<int>(at / 5);
    }
    if (system == GridSystem::british) {
        east -= 10;
        north -= 5;
        if (east < 0 || east >= 7 || north < 0 || north >= 13) return std::nullopt;
    }
    return Metres{east * k_square_m, north * k_square_m};
}

std::optional<GridSquare> parse_national(const std::string& text, GridSystem system) {
    const std::size_t letters = system == GridSystem::british ? 2 : 1;
    if (text.size() < letters) return std::nullopt;
    const std::string_view digits = std::string_view(text).substr(letters);
    if (!all_digits(digits) || digits.size() % 2 != 0 || digits.size() > 10) return std::nullopt;
    const auto corner = corner_of(std::string_view(text).substr(0, letters), system);
    if (!corner) return std::nullopt;
    const std::size_t each = digits.size() / 2;
    const double size_m = k_square_m / std::pow(10, each);
    const auto metres = [&](std::string_view part) {
        return part.empty() ? 0 : std::stod(std::string(part)) * size_m;
    };
    const double east_m = corner->easting_m + metres(digits.substr(0, each));
    const double north_m = corner->northing_m + metres(digits.substr(each));
    return GridSquare{position_on_grid(east_m, north_m, system),
                      position_on_grid(east_m + size_m / 2, north_m + size_m / 2, system), size_m};
}

std::optional<GridSquare> parse_mgrs(const std::string& text) {
    const auto place = [&](bool middle, int& precision) {
        int zone = 0;
        bool northern = false;
        double east_m = 0, north_m = 0;
        Position out;
        GeographicLib::MGRS::Reverse(text, zone, northern, east_m, north_m, precision, middle);
        GeographicLib::UTMUPS::Reverse(zone, northern, east_m, north_m, out.lat_deg, out.lon_deg);
        return out;
    };
    try {
        int precision = 0;
        const Position corner = place(false, precision), middle = place(true, precision);
        if (precision < 0) return std::nullopt;
        return GridSquare{corner, middle, k_square_m / std::pow(10, precision)};
    } catch (const std::exception&) {
        return std::nullopt;
    }
}

} // namespace

std::string grid_reference(Position p, GridSystem system, int figures) {
    if (figures < 2 || figures > 10 || figures % 2 != 0)
        throw InternalError(fmt::format("a grid reference of {} figures was asked for", figures));
    const GridPosition at = grid_position(p, system);
    const double easting_m = at.easting_m + k_noise_m, northing_m = at.northing_m + k_noise_m;
    if (system == GridSystem::utm || !has_letters(easting_m, northing_m, system))
        return mgrs_reference(p, figures);
    const int east = static_cast<int>(easting_m / k_square_m);
    const int north = static_cast<int>(northing_m / k_square_m);
    return square_letters(east, north, system) + " " + digits_of(easting_m, northing_m, figures);
}

std::optional<GridSquare> parse_grid_reference(std::string_view text, GridSystem system) {
    const std::string compact = compact_upper(text);
    if (system != GridSystem::utm)
        if (auto square = parse_national(compact, system)) return square;
    return parse_mgrs(compact);
}

} // namespace waywarden::geo
