// GPX, GeoJSON and KML, told apart by their content as the program does.
#include "fuzz/fuzz.hpp"
#include "route/read.hpp"

#include <cmath>

namespace waywarden::fuzz {

void target(std::string_view bytes) {
    const route::Route route = route::read_text(bytes, "fuzzed");
    must(!route.segments.empty(), "a route without a segment");
    double last_m = 0;
    const auto metres = route::metres_along(route);
    must(metres.size() == route.segments.size(), "metres for every segment");
    for (std::size_t s = 0; s < metres.size(); ++s) {
        must(!route.segments[s].points.empty(), "a segment without a point");
        must(metres[s].size() == route.segments[s].points.size(), "metres for every point");
        for (std::size_t i = 0; i < metres[s].size(); ++i) {
            const geo::Position p = route.segments[s].points[i].position;
            must(std::abs(p.lon_deg) <= 180 && std::abs(p.lat_deg) <= 90, "a point off the globe");
            must(std::isfinite(metres[s][i]) && metres[s][i] >= last_m, "metres that run back");
            last_m = metres[s][i];
        }
    }
    for (const route::Oddity& oddity : route.oddities)
        must(oddity.from_m <= oddity.to_m && oddity.to_m <= last_m + 0.01, "an oddity off the route");
}

} // namespace waywarden::fuzz
