#include "region/chooser.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <exception>
#include <limits>

namespace waywarden::region {

namespace {

using Ring = std::vector<geo::Position>;

/// Even-odd rule in degrees: good enough for rings hundreds of kilometres across and far from the poles and
/// from 180 degrees.
bool inside(const Ring& ring, geo::Position p) {
    bool in = false;
    for (std::size_t i = 1; i < ring.size(); ++i) {
        const geo::Position a = ring[i - 1], b = ring[i];
        if ((a.lat_deg > p.lat_deg) == (b.lat_deg > p.lat_deg)) continue;
        const double crossing_lon_deg =
            a.lon_deg + (p.lat_deg - a.lat_deg) / (b.lat_deg - a.lat_deg) * (b.lon_deg - a.lon_deg);
        if (p.lon_deg < crossing_lon_deg) in = !in;
    }
    return in;
}

double distance_to_m(const Ring& ring, const geo::LocalFrame& frame) {
    double nearest_m = std::numeric_limits<double>::infinity();
    for (std::size_t i = 1; i < ring.size(); ++i) {
        const auto at = geo::nearest_on_segment({}, frame.to_plane(ring[i - 1]), frame.to_plane(ring[i]));
        nearest_m = std::min(nearest_m, at.distance_m);
    }
    return nearest_m;
}

/// How a line lies to a region.
struct Reach {
    bool holds_some = false;
    bool comes_near = false;
};

Reach reach_of(const Region& region, geo::Position p) {
    const geo::LocalFrame frame(p);
    Reach out;
    for (const Ring& ring : region.boundary) {
        out.holds_some = out.holds_some || inside(ring, p);
        out.comes_near = out.comes_near || distance_to_m(ring, frame) < region.border_km * 1000;
    }
    return out;
}

/// Places along a line about one a kilometre: a boundary is coarser than that. Points off the globe are left
/// out.
std::vector<geo::Position> sampled(std::span<const geo::Position> line) {
    constexpr double k_step_m = 1000;
    constexpr int k_most_a_gap = 1000;
    std::vector<geo::Position> out;
    for (const geo::Position p : line) {
        if (!(std::abs(p.lon_deg) <= 180 && std::abs(p.lat_deg) <= 90)) continue;
        const double gap_m = out.empty() ? 0 : geo::distance_m(out.back(), p);
        if (!out.empty() && gap_m < k_step_m) continue;
        const geo::Position from = out.empty() ? p : out.back();
        const int parts = std::clamp(static_cast<int>(gap_m / k_step_m), 1, k_most_a_gap);
        for (int i = 1; i <= parts; ++i) {
            const double share = static_cast<double>(i) / parts;
            out.push_back({from.lon_deg + share * (p.lon_deg - from.lon_deg),
                           from.lat_deg + share * (p.lat_deg - from.lat_deg)});
        }
    }
    return out;
}

/// Every region that can be read; those that cannot are told of in `note`.
std::vector<Region> all_regions(std::string& note) {
    std::vector<Region> out;
    try {
        for (const std::string& name : names()) {
            try {
                out.push_back(load(name));
            } catch (const std::exception& e) {
                note += fmt::format("A region was left out: {}. ", e.what());
            }
        }
    } catch (const std::exception& e) {
        note += fmt::format("No region is known: {}. ", e.what());
    }
    return out;
}

/// The region called `general`, or where even that cannot be read one that presumes nothing at all.
Region general_of(const std::vector<Region>& regions) {
    for (const Region& region : regions)
        if (region.name == "general") return region;
    Region nothing;
    nothing.name = "general";
    nothing.title = "elsewhere";
    nothing.time_zone = "UTC";
    return nothing;
}

struct Candidates {
    std::vector<const Region*> regions;
    bool some_outside = false; ///< a part of the line lies in no region
};

Candidates candidates_of(const std::vector<Region>& regions, std::span<const geo::Position> line) {
    Candidates out;
    std::vector<Reach> reach(regions.size());
    for (const geo::Position p : line) {
        bool held = false;
        for (std::size_t i = 0; i < regions.size(); ++i) {
            const Reach here = reach_of(regions[i], p);
            reach[i].holds_some = reach[i].holds_some || here.holds_some;
            reach[i].comes_near = reach[i].comes_near || here.comes_near;
            held = held || here.holds_some;
        }
        out.some_outside = out.some_outside || !held;
    }
    for (std::size_t i = 0; i < regions.size(); ++i)
        if (reach[i].holds_some || reach[i].comes_near) out.regions.push_back(&regions[i]);
    return out;
}

Choice choose_for(std::span<const geo::Position> line, const std::vector<Region>& regions, std::string note) {
    const Candidates found = candidates_of(regions, line);
    if (found.regions.empty()) {
        note += "The route lies in none of the regions this program knows; nothing is presumed that the map "
                "does not "
                "say. Ask about local law, or name a region.";
        return {general_of(regions), note};
    }
    std::vector<std::string> titles;
    for (const Region* region : found.regions)
        titles.push_back(region->title);
    const Region& strictest =
        **std::max_element(found.regions.begin(), found.regions.end(),
                           [](const Region* a, const Region* b) { return a->strictness < b->strictness; });
    if (found.regions.size() > 1)
        note += fmt::format(
            "The route is near a border ({}); the stricter, {}, is judged. Name a region to choose. ",
            fmt::join(titles, ", "), strictest.title);
    if (found.some_outside)
        note += fmt::format(
            "A part of the route lies outside the regions this program knows; {} is judged throughout. ",
            strictest.title);
    if (!note.empty()) note.pop_back();
    return {strictest, note};
}

} // namespace

Chooser::Chooser(const std::string& name_or_auto) : m_auto(name_or_auto == "auto") {
    if (m_auto)
        m_regions = all_regions(m_note);
    else
        m_regions.push_back(load(name_or_auto));
}

Choice Chooser::choose(std::span<const geo::Position> line) const {
    if (!m_auto) return {m_regions.front(), ""};
    return choose_for(sampled(line), m_regions, m_note);
}

Choice choose(const std::string& name_or_auto, std::span<const geo::Position> line) {
    return Chooser(name_or_auto).choose(line);
}

} // namespace waywarden::region
