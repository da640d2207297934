// Files of regions: read, or refused in one line; what is read can be asked for every boundary and speed.
#include "region/region.hpp"

#include "fuzz/fuzz.hpp"

#include <cmath>

namespace waywarden::fuzz {

void target(std::string_view bytes) {
    const region::Region region = region::parse(std::string(bytes), "region.json");
    must(!region.name.empty(), "a region without a name");
    must(std::isfinite(region.strictness) && std::isfinite(region.border_km), "a number that is none");
    for (const auto& ring : region.boundary)
        for (const geo::Position& p : ring)
            must(std::abs(p.lon_deg) <= 180 && std::abs(p.lat_deg) <= 90, "a boundary off the globe");
}

} // namespace waywarden::fuzz
