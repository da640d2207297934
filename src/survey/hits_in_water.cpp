#include "map/bridge_reading.hpp"
#include "survey/arms.hpp"
#include "survey/hits.hpp"
#include "survey/water.hpp"

#include <algorithm>
#include <array>
#include <tuple>

namespace waywarden::survey {

namespace {

/// A centre line this near to where the walk enters or leaves the area is still its own.
constexpr double k_slack_m = 5;
/// Wider than this the area is more than the line in it: a creek on a flat, a stream through a lake.
constexpr double k_widest_river_m = 120;

/// What carries someone over water where this step runs.
Means carried_by(const Scene& scene, const WalkStep& step) {
    if (!step.way) return Means::none;
    const auto& tags = scene.tags(*step.way);
    if (scene.facts(*step.way).bridge) return Means::bridge;
    if (map::yes(tags, "tunnel")) return Means::tunnel;
    if (scene.facts(*step.way).ford) return Means::ford;
    if (scene.role(*step.way) == LineRole::ferry) return Means::ferry;
    const auto man_made = tags.get("man_made");
    const bool built =
        man_made == "pier" || man_made == "breakwater" || man_made == "groyne" || man_made == "quay";
    return built ? Means::bridge : Means::none;
}

/// A way on a bank through still water is dry (OSM wiki, Key:embankment, Key:causeway); one through the sea
/// or over tidal ground may be covered.
bool is_causeway(const Scene& scene, const WalkStep& step, const WaterSpan& water) {
    if (!step.way || !water.area || is_tidal_ground(water.area->object.tags)) return false;
    const map::Tags& tags = scene.tags(*step.way);
    return !scene.facts(*step.way).tidal && !map::yes(water.area->object.tags, "tidal") &&
           (map::yes(tags, "embankment") || map::yes(tags, "causeway"));
}

/// Areas on which one walks dry over water.
bool is_solid(const map::Tags& tags) {
    static constexpr std::array<std::string_view, 5> k_built{"pier", "breakwater", "quay", "bridge",
                                                             "groyne"};
    if (!map::fallen_word(tags).empty() || map::yes(tags, "construction")) return false;
    const auto man_made = tags.get("man_made");
    return std::find(k_built.begin(), k_built.end(), man_made) != k_built.end() || tags.is("waterway", "dam");
}

/// The banks of water are seldom drawn exactly to the ends of its bridge; more than this without one is
/// water to get through. Common practice, no source.
constexpr double k_bank_m = 20;
/// The same beside a ferry, which lands on slips that the tide covers.
constexpr double k_slip_m = 50;

struct Piece {
    WalkPlace from, to;
    Means means = Means::none;
    double length_m = 0;
};

/// The walk through water in pieces, each carried by one thing, neighbours by different ones.
std::vector<Piece> pieces_of(const Scene& scene, const WaterSpan& water, const std::vector<AreaSpan>& solid) {
    const Walk& walk = scene.walks()[water.span.walk];
    std::vector<WalkPlace> cuts;
    for (std::size_t i = water.span.from.step + 1; i <= water.span.to.step; ++i)
        cuts.push_back({i, 0});
    for (const AreaSpan& s : solid)
        if (s.walk == water.span.walk)
            for (const WalkPlace place : {s.from, s.to})
                if (water.span.from < place && place < water.span.to) cuts.push_back(place);
    cuts.push_back(water.span.to);
    std::sort(cuts.begin(), cuts.end());
    std::vector<Piece> out;
    WalkPlace from = water.span.from;
    for (const WalkPlace to : cuts) {
        const WalkPlace middle{from.step, (from.share + (to.step > from.step ? 1 : to.share)) / 2};
        Means means = carried_by(scene, walk.steps[from.step]);
        if (means == Means::none && std::any_of(solid.begin(), solid.end(), [&](const AreaSpan& s) {
                return s.walk == water.span.walk && s.from <= middle && middle <= s.to;
            }))
            means = Means::bridge;
        if (means == Means::none && is_causeway(scene, walk.steps[from.step], water)) means = Means::culvert;
        const double length_m = metres_between(walk, from, to);
        if (!out.empty() && out.back().means == means) {
            out.back().to = to;
            out.back().length_m += length_m;
        } else {
            out.push_back({from, to, means, length_m});
        }
        from = to;
    }
    return out;
}

/// What takes the walk over a water area, and the pieces of it that nothing does. Where most of the way has
/// nothing, though no piece of it is long, that is the whole.
struct Passage {
    Means means = Means::none;
    std::vector<Piece> bare;
};

Passage passage_of(const Scene& scene, const WaterSpan& water, const std::vector<AreaSpan>& solid) {
    if (water.area && map::yes(water.area->object.tags, "tunnel")) return {Means::culvert, {}};
    std::array<double, 7> metres{};
    double all_m = 0;
    const std::vector<Piece> pieces = pieces_of(scene, water, solid);
    for (const Piece& piece : pieces) {
        metres[static_cast<std::size_t>(piece.means)] += piece.length_m;
        all_m += piece.length_m;
    }
    const auto metres_by = [&](Means means) { return metres[static_cast<std::size_t>(means)]; };
    Passage out;
    double most_m = 0;
    for (const Means means : {Means::bridge, Means::culvert, Means::tunnel, Means::ferry, Means::ford})
        if (metres_by(means) > most_m) {
            most_m = metres_by(means);
            out.means = means;
        }
    if (metres_by(Means::ford) > k_bank_m) out.means = Means::ford; // the worst of several
    const double bank_m = metres_by(Means::ferry) > 0 ? k_slip_m : k_bank_m;
    for (const Piece& piece : pieces)
        if (piece.means == Means::none && piece.length_m > bank_m) out.bare.push_back(piece);
    const bool mostly_bare = 2 * metres_by(Means::none) > all_m;
    if (out.means == Means::none || (mostly_bare && out.bare.empty()))
        return {Means::none, {{water.span.from, water.span.to, Means::none, all_m}}};
    return out;
}

/// Whether an area is no more than the bed of a line of water.
bool is_bed(const map::Tags& tags) {
    if (is_tidal_ground(tags)) return false;
    const auto water = tags.get("water");
    return tags.is("waterway", "riverbank") || (water != "lake" && water != "reservoir" && water != "lagoon");
}

bool is_line_of(const Hit& line, const WaterSpan& water, const Hit& area) {
    return line.of == CrossingOf::water && line.way && line.walk == area.walk &&
           line.at_m >= area.from_m - k_slack_m && line.at_m <= area.to_m + k_slack_m && water.area &&
           is_bed(water.area->object.tags) && area.to_m - area.from_m <= k_widest_river_m;
}

bool turns_round(const Scene& scene, const AreaSpan& span) {
    const auto& p = scene.walks()[span.walk].points;
    bool turned = false;
    for (std::size_t i = span.from.step + 1; i <= span.to.step; ++i)
        if (same_direction(p[i].at, p[i - 1].at, p[i + 1].at)) turned = !turned;
    return turned;
}

Hit hit_of(const Scene& scene, const WaterSpan& water, const Piece& piece) {
    const Walk& walk = scene.walks()[water.span.walk];
    const WalkPlace place = middle_of(walk, piece.from, piece.to);
    const WalkPoint middle = point_at(walk, place);
    Hit hit;
    hit.how = Hit::How::area;
    hit.of = CrossingOf::water;
    hit.means = piece.means;
    hit.walk = water.span.walk;
    hit.at_m = middle.at_m;
    hit.from_m = point_at(walk, piece.from).at_m;
    hit.to_m = point_at(walk, piece.to).at_m;
    hit.position = middle.position;
    hit.at = middle.at;
    hit.way = water.coast;
    hit.area = water.area;
    hit.walked = walk.steps[place.step].way;
    return hit;
}

/// Whether a node of the walk in water no wider than a river is recorded as a ford.
bool has_ford(const Scene& scene, const Hit& area) {
    if (!area.area || area.to_m - area.from_m > k_widest_river_m) return false;
    const auto& points = scene.walks()[area.walk].points;
    return std::any_of(points.begin(), points.end(), [&](const WalkPoint& p) {
        if (p.at_m < area.from_m || p.at_m > area.to_m) return false;
        const map::TaggedNode* node = scene.ground().tagged(p.node);
        return node && is_ford(node->object.tags);
    });
}

/// Whether the walk is on a dam drawn as an area where it crosses a line of water, which goes on through it.
bool is_on_dam(const Scene& scene, const Hit& line, const std::vector<AreaSpan>& dams) {
    return std::any_of(dams.begin(), dams.end(), [&](const AreaSpan& dam) {
        const Walk& walk = scene.walks()[dam.walk];
        return dam.walk == line.walk && point_at(walk, dam.from).at_m <= line.at_m &&
               line.at_m <= point_at(walk, dam.to).at_m;
    });
}

/// Notes the area on the lines of water that are its own. Whether one of these tells of the crossing: what
/// leads over the line alone does not lead over much water beside it, but where the line is in a culvert the
/// way is on a bank.
bool list_with_lines(std::vector<Hit>& hits, std::size_t lines, const WaterSpan& water, const Hit& area) {
    bool listed = false;
    for (std::size_t i = 0; i < lines; ++i) {
        Hit& line = hits[i];
        if (!is_line_of(line, water, area)) continue;
        if (!line.area) line.area = water.area;
        const bool over_line_alone = area.means == Means::none && area.to_m - area.from_m > 2 * k_bank_m &&
                                     line.means != Means::none && line.means != Means::ford &&
                                     line.means != Means::culvert;
        listed = listed || !over_line_alone;
    }
    return listed;
}

} // namespace

void find_water_areas(const Scene& scene, const AreaFinder& finder, const std::vector<WaterSpan>& waters,
                      std::vector<Hit>& hits) {
    if (waters.empty() &&
        std::none_of(hits.begin(), hits.end(), [](const Hit& hit) { return hit.of == CrossingOf::water; }))
        return;
    std::vector<AreaSpan> solid, dams;
    for (const map::Area& area : scene.ground().areas)
        if (is_solid(area.object.tags))
            for (const AreaSpan& span : finder.spans(area)) {
                solid.push_back(span);
                if (area.object.tags.is("waterway", "dam")) dams.push_back(span);
            }
    const std::size_t lines = hits.size();
    for (Hit& line : hits)
        if (line.of == CrossingOf::water && line.means == Means::none && is_on_dam(scene, line, dams))
            line.means = Means::culvert;
    for (const WaterSpan& water : waters) {
        const Passage passage = passage_of(scene, water, solid);
        const bool goes_through =
            !water.span.starts_inside && !water.span.ends_inside && !turns_round(scene, water.span);
        // out along a pier and no farther is no crossing
        if (passage.means != Means::none && (goes_through || passage.means == Means::ford)) {
            const Hit area = hit_of(scene, water, {water.span.from, water.span.to, passage.means});
            const bool listed = list_with_lines(hits, lines, water, area);
            const bool told_as_bare =
                !passage.bare.empty() && (passage.means == Means::bridge || passage.means == Means::culvert);
            if (!listed && !told_as_bare) hits.push_back(area);
        }
        for (const Piece& piece : passage.bare) {
            Hit area = hit_of(scene, water, piece);
            if (has_ford(scene, area)) area.means = Means::ford;
            if (!list_with_lines(hits, lines, water, area)) hits.push_back(area);
        }
    }
}

std::vector<Hit> find_hits(const Scene& scene, const AreaFinder& finder,
                           const std::vector<WaterSpan>& waters) {
    std::vector<Hit> hits;
    find_at_shared_nodes(scene, hits);
    find_staggered(scene, hits);
    find_cuts(scene, hits);
    find_water_areas(scene, finder, waters, hits);
    find_fords(scene, hits);
    std::stable_sort(hits.begin(), hits.end(), [](const Hit& a, const Hit& b) {
        return std::tie(a.walk, a.at_m) < std::tie(b.walk, b.at_m);
    });
    return hits;
}

} // namespace waywarden::survey
