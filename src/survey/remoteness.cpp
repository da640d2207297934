#include "survey/remoteness.hpp"

#include "survey/areas.hpp"
#include "survey/spots.hpp"
#include "survey/way_facts.hpp"
#include "survey/way_to_help.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <set>

namespace waywarden::survey {

namespace {

constexpr double k_far = std::numeric_limits<double>::infinity();
constexpr double k_metres_per_min = k_help_pace_kmh * 1000 / 60;

bool is_among(std::string_view word, std::initializer_list<std::string_view> words) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

/// The word on vehicles that is closest to an ambulance.
std::string_view vehicle_word(const map::Tags& tags) {
    for (const auto* key : {"emergency", "motor_vehicle", "vehicle", "access"})
        if (tags.has(key)) return tags.get(key);
    return "";
}

/// A run of the walk that is farther than k_remote_min from help, or the one place that is farthest.
struct Remote {
    double metres = -1; ///< at the farthest place
    WalkPoint from, farthest, to;
};

/// Where on a piece the way out is longer than `limit_m`, as shares; nothing where it nowhere is.
std::optional<std::pair<double, double>> part_beyond(const HelpPiece& piece, double limit_m) {
    if (piece.metres_at(piece.farthest_share()) <= limit_m) return std::nullopt;
    if (piece.length_m <= 0) return std::pair(0.0, 1.0);
    return std::pair(std::clamp((limit_m - piece.from_m) / piece.length_m, 0.0, 1.0),
                     std::clamp(1 - (limit_m - piece.to_m) / piece.length_m, 0.0, 1.0));
}

WalkPoint point_of(const Scene& scene, const HelpPiece& piece, double share) {
    return point_at(scene.walks()[piece.walk], {piece.step, piece.from + share * (piece.to - piece.from)});
}

Remote farthest_of(const Scene& scene, const std::vector<HelpPiece>& pieces) {
    Remote out;
    for (const HelpPiece& piece : pieces) {
        const double share = piece.farthest_share(), metres = piece.metres_at(share);
        if (metres <= out.metres) continue;
        const WalkPoint at = point_of(scene, piece, share);
        out = {metres, at, at, at};
    }
    return out;
}

/// Runs beyond the limit, in order of the walk.
std::vector<Remote> runs_beyond(const Scene& scene, const std::vector<HelpPiece>& pieces, double limit_m) {
    constexpr double k_same_run_m = 100;
    std::vector<Remote> out;
    for (const HelpPiece& piece : pieces) {
        const auto part = part_beyond(piece, limit_m);
        if (!part) continue;
        const WalkPoint from = point_of(scene, piece, part->first), to = point_of(scene, piece, part->second);
        if (out.empty() || from.at_m > out.back().to.at_m + k_same_run_m) out.push_back({-1, from, from, to});
        out.back().to = to;
        const double share = piece.farthest_share(), metres = piece.metres_at(share);
        if (metres > out.back().metres) {
            out.back().metres = metres;
            out.back().farthest = point_of(scene, piece, share);
        }
    }
    return out;
}

void set_minutes(Facts& facts, double metres) {
    if (metres < k_far)
        facts.set("farthest_from_road_min", metres / k_metres_per_min);
    else
        facts.set_unknown("farthest_from_road_min");
}

/// The longest way out from anywhere on each stretch.
void set_stretch_minutes(const Scene& scene, const std::vector<HelpPiece>& pieces, Survey& out) {
    auto stretch = out.stretches.begin();
    std::vector<double> longest(out.stretches.size(), -1);
    for (const HelpPiece& piece : pieces) {
        const double share = piece.farthest_share(), at_m = point_of(scene, piece, share).at_m;
        while (stretch + 1 != out.stretches.end() && stretch->to_m < at_m)
            ++stretch;
        double& here = longest[static_cast<std::size_t>(stretch - out.stretches.begin())];
        here = std::max(here, piece.metres_at(share));
    }
    for (std::size_t i = 0; i < longest.size(); ++i)
        if (longest[i] >= 0) set_minutes(out.stretches[i].reading.facts, longest[i]);
}

} // namespace

bool ambulance_can_use(const map::Tags& tags) {
    if (map::line_kind(tags) == map::LineKind::other || !map::lifecycle(tags).empty()) return false;
    std::string_view road = tags.get("highway");
    if (road.ends_with("_link")) road.remove_suffix(5);
    const std::string_view word = vehicle_word(tags);
    if (is_among(road, {"trunk", "primary", "secondary", "tertiary", "unclassified", "residential",
                        "living_street"}))
        return !is_among(word, {"no", "private", "agricultural", "forestry", "military"});
    if (road == "service" && word.empty()) return true;
    return is_among(road, {"service", "track"}) &&
           is_among(word, {"yes", "designated", "permissive", "official"});
}

void find_farthest_from_road(const Scene& scene, const std::vector<Hit>& hits, Survey& out) {
    const std::vector<HelpPiece> pieces = ways_to_help(scene, hits);
    const Remote farthest = farthest_of(scene, pieces);
    if (farthest.metres < 0 || out.stretches.empty()) return;
    set_stretch_minutes(scene, pieces, out);
    set_minutes(out.route_facts, farthest.metres);
    if (farthest.metres < k_far) out.route_facts.set("farthest_from_road_at_m", farthest.farthest.at_m);
    auto places = runs_beyond(scene, pieces, k_remote_min * k_metres_per_min);
    if (places.empty()) places.push_back(farthest);
    for (const Remote& place : places) {
        Spot spot =
            spot_of("farthest_from_road", place.from.at_m, place.to.at_m, place.farthest.position, 0, true);
        set_minutes(spot.facts, place.metres);
        spot.facts.set("farthest_from_road_at_m", place.farthest.at_m);
        set_text(spot.facts, "detail",
                 fmt::format(
                     "at {:.0f} km/h along mapped paths and the line itself, looking 2 km around the route",
                     k_help_pace_kmh));
        out.spots.push_back(std::move(spot));
    }
}

namespace {

/// Where another road or path that may be walked meets the walk, as often as it is passed.
std::vector<std::pair<map::NodeIndex, double>> escapes(const Scene& scene) {
    std::vector<std::pair<map::NodeIndex, double>> places;
    for (const Walk& walk : scene.walks())
        for (std::size_t i = 0; i < walk.points.size(); ++i) {
            const map::NodeIndex node = walk.points[i].node;
            if (node == map::k_no_node) continue;
            const auto is_walked = [&](map::WayIndex way) {
                return (i > 0 && walk.steps[i - 1].way == way) ||
                       (i < walk.steps.size() && walk.steps[i].way == way);
            };
            for (const map::WayIndex way : scene.ways_at(node)) {
                const LineRole role = scene.role(way);
                if ((role != LineRole::path && role != LineRole::road) || is_walked(way)) continue;
                const auto& facts = scene.facts(way);
                if (!facts.lifecycle.empty() || facts.access == map::Access::motorway ||
                    facts.right.right == map::Right::forbidden || facts.right.right == map::Right::restricted)
                    continue;
                places.emplace_back(node, walk.points[i].at_m);
                break;
            }
        }
    return places;
}

} // namespace

std::vector<double> escapes_at_m(const Scene& scene) {
    std::vector<double> out;
    for (const auto& [node, at_m] : escapes(scene))
        out.push_back(at_m);
    return out;
}

void count_escapes(const Scene& scene, Survey& out) {
    std::set<map::NodeIndex> places;
    for (const auto& [node, at_m] : escapes(scene))
        places.insert(node);
    const auto count = static_cast<double>(places.size());
    out.route_facts.set("escape_places", count);
    if (out.length_m > 0) out.route_facts.set("escape_places_per_km", count / (out.length_m / 1000));
}

} // namespace waywarden::survey
