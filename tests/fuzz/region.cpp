// Files of regions: read, or refused in one line; what is read can be asked for every boundary and speed. The
// same JSON written another way is the same region.
#include "region/region.hpp"

#include "fuzz/fuzz.hpp"

#include <nlohmann/json.hpp>

#include <cmath>

namespace waywarden::fuzz {

namespace {

bool same_rows(const region::Region& a, const region::Region& b) {
    if (a.presumed_speed.size() != b.presumed_speed.size() || a.speed_words.size() != b.speed_words.size() ||
        a.presumed_foot.size() != b.presumed_foot.size() || a.boundary.size() != b.boundary.size())
        return false;
    for (std::size_t i = 0; i < a.presumed_speed.size(); ++i)
        if (a.presumed_speed[i].highway != b.presumed_speed[i].highway ||
            a.presumed_speed[i].limit_kmh != b.presumed_speed[i].limit_kmh)
            return false;
    for (std::size_t i = 0; i < a.presumed_foot.size(); ++i)
        if (a.presumed_foot[i].highway != b.presumed_foot[i].highway ||
            a.presumed_foot[i].right != b.presumed_foot[i].right)
            return false;
    return true;
}

} // namespace

void target(std::string_view bytes) {
    const region::Region region = region::parse(std::string(bytes), "region.json");
    must(!region.name.empty(), "a region without a name");
    must(std::isfinite(region.strictness) && std::isfinite(region.border_km), "a number that is none");
    for (const auto& ring : region.boundary)
        for (const geo::Position& p : ring)
            must(std::abs(p.lon_deg) <= 180 && std::abs(p.lat_deg) <= 90, "a boundary off the globe");
    const std::string text = nlohmann::json::parse(bytes).dump(3);
    const region::Region again = must_read([&] { return region::parse(text, "region.json"); },
                                           "the same region written another way cannot be read:");
    must(again.name == region.name && again.strictness == region.strictness && same_rows(region, again),
         "the same region written another way is read otherwise:", text);
}

} // namespace waywarden::fuzz
