#include "survey/spots.hpp"
#include "survey/way_facts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace waywarden::survey {

namespace {

/// From this probability on another reading of the line is worth a word.
constexpr double k_doubt = 0.3;

/// Readings of one class endanger the walkers alike.
std::string hazard_class(const StretchReading& reading) {
    switch (reading.access) {
    case map::Access::motorway:
        return "motorway";
    case map::Access::major_road:
        return "major road";
    case map::Access::minor_road: {
        const auto limit = reading.facts.number("speed_limit_kmh");
        return limit && *limit < 65 ? "slow road" : "road";
    }
    case map::Access::railway:
        return "railway";
    case map::Access::water:
        return "water";
    case map::Access::ferry:
        return "ferry";
    case map::Access::open_ground:
        return "open ground";
    default:
        break;
    }
    const auto right = reading.facts.text("right");
    const bool closed = right == "forbidden" || right == "restricted" ||
                        reading.facts.text("lifecycle", "in_use") != "in_use";
    return closed ? "path that may not be walked" : "path";
}

std::string words_for(const StretchReading& reading) {
    std::string access = map::to_string(reading.access);
    std::replace(access.begin(), access.end(), '_', ' ');
    if (!reading.name.empty()) access += " " + reading.name;
    return reading.osm ? access + " (" + map::to_string(*reading.osm) + ")" : access;
}

} // namespace

void find_line_spots(const route::Route& route, std::vector<Spot>& out) {
    for (const route::Oddity& oddity : route.oddities) {
        Spot spot =
            spot_of(route::to_string(oddity.kind), oddity.from_m, oddity.to_m, oddity.position, 0, true);
        if (oddity.length_m > 0) spot.facts.set("length_m", oddity.length_m);
        set_text(spot.facts, "detail", oddity.text);
        out.push_back(std::move(spot));
    }
}

void find_doubt_spots(const std::vector<StretchSurvey>& stretches, std::vector<Spot>& out) {
    for (const StretchSurvey& stretch : stretches) {
        if (stretch.line.empty()) continue;
        const geo::Position position = stretch.line[stretch.line.size() / 2].position;
        for (const StretchReading& other : stretch.others) {
            if (other.probability < k_doubt || hazard_class(other) == hazard_class(stretch.reading)) continue;
            Spot spot = spot_of("ambiguous_reading", stretch.from_m, stretch.to_m, position, 0, true);
            spot.name = other.name;
            set_text(spot.facts, "other_way", words_for(other));
            spot.facts.set("probability", std::min(1.0, other.probability));
            set_text(
                spot.facts, "detail",
                fmt::format("read as {}, but it could be {}", words_for(stretch.reading), words_for(other)));
            if (stretch.reading.osm) spot.evidence.push_back(stretch.reading.evidence);
            if (other.osm) spot.evidence.push_back(other.evidence);
            out.push_back(std::move(spot));
        }
        if (stretch.reading.facts.flag("speed_unreadable").value_or(false)) {
            Spot spot = spot_of("unreadable_tag", stretch.from_m, stretch.to_m, position, 0, true);
            set_text(spot.facts, "detail", "a speed limit is recorded but cannot be read");
            spot.evidence.push_back(stretch.reading.evidence);
            out.push_back(std::move(spot));
        }
    }
}

} // namespace waywarden::survey
