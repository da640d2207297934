#include "match/walker.hpp"

#include "map/right_reading.hpp"

#include <limits>
#include <optional>

namespace waywarden::match {

namespace {

constexpr double k_never = std::numeric_limits<double>::infinity();
constexpr double k_forbidden = 10; // a way round of ten times the length is still rather taken
constexpr double k_restricted = 3; // customers, destination …: somebody may object

bool has_pavement(const map::Tags& tags) {
    for (const char* key : {"sidewalk", "sidewalk:both", "sidewalk:left", "sidewalk:right"})
        if (map::yes(tags, key) && !tags.is(key, "none")) return true;
    return false;
}

double of_road(const map::Tags& tags, map::Access access) {
    const bool pavement = has_pavement(tags);
    if (access == map::Access::major_road) return pavement ? 1.6 : 2.5;
    const std::string_view highway = map::highway_class(tags);
    if (highway == "secondary" || highway == "secondary_link") return pavement ? 1.4 : 2;
    if (highway == "tertiary" || highway == "tertiary_link") return pavement ? 1.3 : 1.6;
    if (highway == "service") return tags.is("service", "driveway") ? 1.8 : 1.3;
    return 1.2;
}

double of_kind(const map::Tags& tags, map::Access access) {
    switch (access) {
    case map::Access::footpath:
    case map::Access::bridleway:
    case map::Access::byway:
    case map::Access::pavement:
        return 1;
    case map::Access::cycleway:
        return 1.05;
    case map::Access::track:
        return tags.has("designation") || map::yes(tags, "foot") ? 1 : 1.15;
    case map::Access::minor_road:
    case map::Access::major_road:
        return of_road(tags, access);
    case map::Access::ferry:
        return 4;
    default:
        return k_never;
    }
}

} // namespace

Effort effort_of(const map::Tags& tags, map::Access access) {
    Effort out;
    out.per_m = map::lifecycle(tags).empty() ? of_kind(tags, access) : k_never;
    if (out.per_m == k_never) return out;
    // Without a region nothing is presumed: only what the tags themselves say.
    const map::RightReading reading = map::right_of(tags, region::Region{});
    out.forbidden = reading.right == map::Right::forbidden || reading.value == "private";
    if (out.forbidden)
        out.per_m *= k_forbidden;
    else if (reading.right == map::Right::restricted)
        out.per_m *= k_restricted;
    return out;
}

std::vector<Effort> efforts(const Network& network, const map::Ground& ground) {
    std::vector<Effort> out;
    out.reserve(network.edges().size());
    std::optional<map::WayIndex> last; // the edges of a way stand together
    for (const Edge& edge : network.edges()) {
        if (last == edge.way)
            out.push_back(out.back());
        else
            out.push_back(effort_of(ground.ways[edge.way].object.tags, edge.access));
        last = edge.way;
    }
    return out;
}

} // namespace waywarden::match
