#include "cli/command.hpp"
#include "cli/find_object.hpp"
#include "error.hpp"
#include "geo/grid_reference.hpp"
#include "map/read.hpp"
#include "map/tag_reading.hpp"
#include "region/region.hpp"
#include "report/telling.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <iostream>
#include <limits>
#include <memory>

namespace waywarden::cli {

namespace {

constexpr double k_near_m = 50; ///< ways and nodes within this of the place are shown

struct InspectOptions {
    std::vector<std::string> maps;
    std::string at, osm, region = "auto";
};

geo::Position parse_place(const std::string& text) {
    geo::Position out;
    const char* end = text.data() + text.size();
    const auto lat = std::from_chars(text.data(), end, out.lat_deg);
    const char* second = lat.ptr;
    while (second != end && (*second == ',' || *second == ' '))
        ++second;
    const auto lon = std::from_chars(second, end, out.lon_deg);
    const bool read = lat.ec == std::errc() && lon.ec == std::errc() && lon.ptr == end && second != lat.ptr;
    // Written so that no number at all fails too.
    if (!read || !(std::abs(out.lat_deg) <= 90) || !(std::abs(out.lon_deg) <= 180))
        throw ArgumentError(
            fmt::format("--at {}: is no place; write latitude,longitude in degrees, as 56.01,3.02", text));
    return out;
}

double distance_to_m(const map::Way& way, const map::Ground& ground, const geo::LocalFrame& frame) {
    double nearest_m = std::numeric_limits<double>::infinity();
    for (std::size_t i = 1; i < way.nodes.size(); ++i) {
        const auto a = frame.to_plane(ground.nodes[way.nodes[i - 1]].position);
        const auto b = frame.to_plane(ground.nodes[way.nodes[i]].position);
        nearest_m = std::min(nearest_m, geo::nearest_on_segment({}, a, b).distance_m);
    }
    return nearest_m;
}

/// Even-odd rule over all rings; the origin of the frame is the place.
bool holds(const map::Area& area, const geo::LocalFrame& frame) {
    bool in = false;
    const auto count = [&](const std::vector<geo::Position>& ring) {
        for (std::size_t i = 1; i < ring.size(); ++i) {
            const auto a = frame.to_plane(ring[i - 1]), b = frame.to_plane(ring[i]);
            if ((a.y_m > 0) == (b.y_m > 0)) continue;
            if (a.x_m - a.y_m * (b.x_m - a.x_m) / (b.y_m - a.y_m) > 0) in = !in;
        }
    };
    for (const auto& polygon : area.polygons) {
        count(polygon.outer);
        for (const auto& ring : polygon.inner)
            count(ring);
    }
    return in;
}

void say(std::string_view label, const std::string& text) {
    std::cout << report::wrapped(label, report::plain(text), 78);
}

void say_object(const map::Object& object, const std::string& where) {
    say("\n", fmt::format("{} {}, {}", map::to_string(object.id), where,
                          object.edited_s ? "edited " + report::date_words(object.edited_s)
                                          : "edit date not known"));
    std::string tags;
    for (const auto& [key, value] : object.tags.pairs())
        tags += fmt::format("{}{}={}", tags.empty() ? "" : "  ", key, value);
    say("  tags     ", tags.empty() ? "none" : tags);
}

std::string known(const std::optional<bool>& value) {
    return value ? (*value ? "yes" : "no") : "unknown";
}

std::string joined(const std::vector<std::string>& parts) {
    return parts.empty() ? "nothing on the map" : fmt::format("{}", fmt::join(parts, ", "));
}

void say_reading(const map::WayFacts& way) {
    say("  read as  ", fmt::format("{}{}", map::to_string(way.access),
                                   way.lifecycle.empty() ? "" : ", not in use: " + way.lifecycle));
    say("  right    ", fmt::format("{} ({}), because of {}{}", map::to_string(way.right.right),
                                   map::to_string(way.right.grade), joined(way.right.because),
                                   way.right.conflicting ? "; the tags contradict each other" : ""));
    const bool road = way.access == map::Access::minor_road || way.access == map::Access::major_road ||
                      way.access == map::Access::motorway;
    if (road) {
        say("  speed    ",
            fmt::format("{} ({}), because of {}{}", way.speed.words, map::to_string(way.speed.grade),
                        way.speed.because.empty() ? "nothing on the map" : way.speed.because,
                        way.speed.unreadable ? "; a speed is tagged that cannot be read" : ""));
        say("  road     ",
            fmt::format("pavement {}, lanes {}, one way {}, dual carriageway {}, lit {}",
                        map::to_string(way.pavement), way.lanes ? std::to_string(*way.lanes) : "unknown",
                        known(way.oneway), known(way.dual_carriageway), known(way.lit)));
    }
    std::string more;
    const std::pair<const char*, bool> flags[] = {
        {"bridge", way.bridge},   {"tunnel", way.tunnel},   {"ford", way.ford},
        {"culvert", way.culvert}, {"tidal", way.tidal},     {"steps", way.steps},
        {"indoor", way.indoor},   {"covered", way.covered}, {"via ferrata", way.via_ferrata}};
    for (const auto& [name, set] : flags)
        if (set) more += (more.empty() ? "" : ", ") + std::string(name);
    if (!more.empty()) say("  also     ", more);
    for (const auto& [key, value] : way.conditional)
        say("  at times ", fmt::format("{}={}", key, value));
}

void say_ways(const map::Ground& ground, const geo::LocalFrame& frame, const region::Region& region,
              const std::optional<map::ObjectId>& only) {
    std::vector<std::pair<double, const map::Way*>> near;
    for (const map::Way& way : ground.ways) {
        const double distance_m = distance_to_m(way, ground, frame);
        if (only ? way.object.id == *only : distance_m <= k_near_m) near.emplace_back(distance_m, &way);
    }
    std::stable_sort(near.begin(), near.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    for (const auto& [distance_m, way] : near) {
        say_object(way->object, fmt::format("{:.0f} m away{}", distance_m,
                                            way->whole ? "" : ", of which the map lacks nodes"));
        if (map::line_kind(way->object.tags) != map::LineKind::other)
            say_reading(map::read_way(way->object.tags, region));
    }
}

void say_areas(const map::Ground& ground, const geo::LocalFrame& frame,
               const std::optional<map::ObjectId>& only) {
    for (const map::Area& area : ground.areas)
        if (only ? area.object.id == *only : holds(area, frame))
            say_object(area.object, only && !holds(area, frame) ? "an area beside the place"
                                                                : "an area that holds the place");
}

void say_nodes(const map::Ground& ground, const geo::LocalFrame& frame,
               const std::optional<map::ObjectId>& only) {
    for (const map::TaggedNode& node : ground.tagged_nodes) {
        const double distance_m = geo::length_m(frame.to_plane(node.position));
        if (only ? node.object.id == *only : distance_m <= k_near_m)
            say_object(node.object, fmt::format("{:.0f} m away", distance_m));
    }
}

int inspect(const InspectOptions& options) {
    std::optional<map::ObjectId> only;
    if (!options.osm.empty()) only = parse_object(options.osm);
    const geo::Position place = only ? place_of_object(options.maps, *only) : parse_place(options.at);
    const region::Choice choice = region::choose(options.region, std::vector<geo::Position>{place});
    map::Corridor corridor;
    corridor.lines = {{place}};
    corridor.reach_m = k_near_m;
    const map::Ground ground = map::read(options.maps, corridor);

    say("", fmt::format("{}  {:.6f},{:.6f}  region {}", geo::grid_reference(place, choice.region.grid),
                        place.lat_deg, place.lon_deg, choice.region.name));
    if (!choice.note.empty()) say("", choice.note);
    const geo::LocalFrame frame(place);
    say_ways(ground, frame, choice.region, only);
    say_nodes(ground, frame, only);
    say_areas(ground, frame, only);
    for (const map::Shortfall& shortfall : ground.shortfalls)
        say("\nCannot vouch: ", fmt::format("{}: {}", map::to_string(shortfall.object), shortfall.text));
    if (!ground.covers(place)) {
        say("\n", "The place is outside the map: nothing here says what is there.");
        return k_not_vouched;
    }
    say("\n", report::attribution_words(ground.sources));
    return ground.shortfalls.empty() ? k_assessed : k_not_vouched;
}

} // namespace

Run prepare_inspect(CLI::App& app) {
    const auto options = std::make_shared<InspectOptions>();
    app.add_option("--map", options->maps, "OpenStreetMap extract")
        ->required()
        ->type_size(1)
        ->allow_extra_args(false);
    auto* what = app.add_option_group("place", "One of");
    what->add_option("--at", options->at, "Latitude,longitude in degrees");
    what->add_option("--osm", options->osm, "An object: way/123, node/123 or relation/123");
    what->require_option(1);
    app.add_option("--region", options->region, "Whose law and custom to presume")->capture_default_str();
    return [options] { return inspect(*options); };
}

} // namespace waywarden::cli
