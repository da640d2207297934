// Grid references: what is read is written again as the square it names.
#include "geo/grid_reference.hpp"

#include "fuzz/fuzz.hpp"

#include <cmath>

namespace waywarden::fuzz {

void target(std::string_view bytes) {
    for (const auto system : {geo::GridSystem::british, geo::GridSystem::irish, geo::GridSystem::utm}) {
        const auto square = geo::parse_grid_reference(bytes, system);
        if (!square) continue;
        must(std::isfinite(square->middle.lon_deg) && std::abs(square->middle.lat_deg) <= 90 &&
                 square->size_m > 0,
             "a square off the globe");
        const int figures = square->size_m >= 100000  ? 0
                            : square->size_m >= 10000 ? 2
                            : square->size_m >= 1000  ? 4
                            : square->size_m >= 100   ? 6
                            : square->size_m >= 10    ? 8
                                                      : 10;
        if (figures < 2 || figures > 8) continue; // the datum shift is good to metres
        const auto again =
            geo::parse_grid_reference(geo::grid_reference(square->middle, system, figures), system);
        must(again.has_value(), "a reference that was written cannot be read:", bytes);
        // An MGRS reference is written on the national grid, whose squares lie otherwise.
        must(geo::distance_m(again->middle, square->middle) < 0.75 * square->size_m + 5,
             "a reference read, written and read again is elsewhere:", bytes);
    }
}

} // namespace waywarden::fuzz
