#include "survey/stretches.hpp"

#include "survey/marked_state.hpp"
#include "survey/pavements.hpp"
#include "survey/timed_facts.hpp"
#include "survey/way_condition.hpp"
#include "survey/way_facts.hpp"

#include <algorithm>
#include <array>
#include <map>

namespace waywarden::survey {

namespace {

constexpr double k_coverage_step_m = 25;
/// Ground of a kind that matters counts from this length on.
constexpr double k_ground_counts_m = 10;

/// The kind of ground of an area, "" where it says nothing of what one walks on.
std::string_view ground_of(const map::Tags& t) {
    if (t.has("military") || t.is("landuse", "military")) return "military";
    if (t.has("building") && !t.is("building", "no")) return "building";
    if (is_tidal_ground(t)) return "tidal";
    if (is_water_area(t)) return "water";
    if (t.is("amenity", "prison")) return "industrial";
    static const std::map<std::string_view, std::string_view> by_landuse{
        {"quarry", "quarry"},         {"farmyard", "farmyard"}, {"residential", "residential"},
        {"industrial", "industrial"}, {"farmland", "farmland"}, {"farm", "farmland"},
        {"orchard", "farmland"},      {"vineyard", "farmland"}, {"meadow", "grass"},
        {"grass", "grass"},           {"forest", "wood"},       {"recreation_ground", "grass"},
        {"village_green", "grass"},   {"allotments", "garden"}, {"landfill", "industrial"},
        {"commercial", "industrial"}, {"retail", "industrial"}, {"railway", "industrial"},
        {"depot", "industrial"},      {"port", "industrial"}};
    static const std::map<std::string_view, std::string_view> by_natural{
        {"wetland", "wetland"}, {"beach", "beach"},     {"sand", "beach"},     {"shingle", "beach"},
        {"scree", "scree"},     {"glacier", "glacier"}, {"bare_rock", "rock"}, {"wood", "wood"},
        {"grassland", "grass"}, {"heath", "heath"},     {"moor", "heath"},     {"fell", "heath"},
        {"scrub", "heath"},     {"mud", "wetland"}};
    static const std::map<std::string_view, std::string_view> by_leisure{{"garden", "garden"},
                                                                         {"park", "grass"},
                                                                         {"pitch", "grass"},
                                                                         {"common", "grass"},
                                                                         {"golf_course", "grass"}};
    for (const auto& [key, table] : {std::pair{"landuse", &by_landuse}, std::pair{"natural", &by_natural},
                                     std::pair{"leisure", &by_leisure}})
        if (const auto known = table->find(t.get(key)); known != table->end()) return known->second;
    return "";
}

/// How serious it is to walk there off any path; of several kinds the most serious is named.
int gravity_of(std::string_view ground) {
    static constexpr std::array<std::string_view, 17> k_order{
        "farmland",   "grass",  "wood",     "heath",  "beach",    "rock",  "residential", "wetland", "scree",
        "industrial", "garden", "farmyard", "quarry", "building", "tidal", "glacier",     "military"};
    const auto at = std::find(k_order.begin(), k_order.end(), ground);
    return at == k_order.end() ? -1 : static_cast<int>(at - k_order.begin());
}

constexpr double k_reading_counts_m = 15; // common practice, no source: about what a junction measures

const int k_grave_ground =
    gravity_of("industrial"); // from here on the kind of ground decides more than the lack of a path

/// A square or platform, which one walks over anywhere (OSM wiki, Tag:highway=pedestrian as an area,
/// Key:area:highway), unless it is private.
bool is_square(const map::Tags& t) {
    const auto has = [&](const char* key, std::initializer_list<std::string_view> words) {
        return std::find(words.begin(), words.end(), t.get(key)) != words.end();
    };
    if (has("access", {"no", "private"}) || has("foot", {"no", "private"})) return false;
    return has("highway", {"pedestrian", "footway", "path", "living_street", "platform"}) ||
           has("area:highway", {"pedestrian", "footway", "path", "living_street"}) ||
           t.is("railway", "platform") || t.is("public_transport", "platform");
}

/// As much of a piece must lie in a square for the piece to be one: its edges are cut to a metre.
constexpr double k_share_in_square = 0.9;

struct GroundPiece {
    std::string_view ground;
    double from_m, to_m;
};

double overlap_m(double a0, double a1, double b0, double b1) {
    return std::max(0.0, std::min(a1, b1) - std::max(a0, b0));
}

/// Source: OSM wiki, Key:ladder, Key:rungs, Key:safety_rope, Key:assisted_trail.
bool needs_hands(const map::Tags& tags) {
    if (tags.is("highway", "ladder")) return true;
    for (const char* key : {"ladder", "rungs", "safety_rope", "assisted_trail", "fixed_rope"})
        if (map::yes(tags, key)) return true;
    return false;
}

class Describer {
  public:
    Describer(const Scene& scene, const AreaFinder& finder, const std::vector<WaterSpan>& waters)
        : m_scene(scene) {
        const auto& stretches = scene.trace().stretches;
        const bool open = std::any_of(stretches.begin(), stretches.end(), [](const auto& s) {
            return !s.way ||
                   std::any_of(s.others.begin(), s.others.end(), [](const auto& o) { return !o.way; });
        });
        if (!open) return;
        for (const map::Area& area : scene.ground().areas)
            if (const auto ground = is_square(area.object.tags) ? "square" : ground_of(area.object.tags);
                !ground.empty() && ground != "water")
                for (const AreaSpan& span : finder.spans(area))
                    m_grounds.push_back({ground, metres(span, span.from), metres(span, span.to)});
        for (const WaterSpan& water : waters)
            if (!water.area || !is_tidal_ground(water.area->object.tags))
                m_water.push_back(
                    {"water", metres(water.span, water.span.from), metres(water.span, water.span.to)});
        std::sort(m_water.begin(), m_water.end(),
                  [](const auto& a, const auto& b) { return a.from_m < b.from_m; });
    }

    void describe(std::size_t index, std::vector<StretchSurvey>& out) {
        const match::Stretch& stretch = m_scene.trace().stretches[index];
        m_pavements.clear();
        if (stretch.way && m_scene.role(*stretch.way) == LineRole::road)
            m_pavements = pavement_runs(m_scene, index, *stretch.way);
        std::vector<std::pair<double, bool>> pieces{
            {stretch.from_m, false}}; // where each begins, and whether in water
        if (!stretch.way)
            for (const GroundPiece& water : m_water) {
                const double from_m = std::max({water.from_m, stretch.from_m, pieces.back().first});
                const double to_m = std::min(water.to_m, stretch.to_m);
                if (to_m - from_m < 0.1) continue;
                if (from_m > pieces.back().first)
                    pieces.emplace_back(from_m, true);
                else
                    pieces.back().second = true;
                if (to_m < stretch.to_m) pieces.emplace_back(to_m, false);
            }
        for (std::size_t i = 0; i < pieces.size(); ++i) {
            const double to_m = i + 1 < pieces.size() ? pieces[i + 1].first : stretch.to_m;
            double from_m = pieces[i].first;
            for (const double cut_m : cuts(stretch, from_m, to_m)) {
                out.push_back(piece_of(index, from_m, cut_m, pieces[i].second));
                from_m = cut_m;
            }
        }
    }

  private:
    /// Over fewer metres another reading only says that nobody knows to the metre where one way is left for
    /// the next.
    static bool holds_long_enough(const match::Reading& other) {
        return other.to_m - other.from_m >= k_reading_counts_m;
    }

    /// Whether a footway on its own matters: there is none on the road itself that counts.
    bool needs_footway(map::WayIndex road) const {
        const map::Pavement own = m_scene.facts(road).pavement;
        return own == map::Pavement::none || own == map::Pavement::unknown || own == map::Pavement::separate;
    }

    /// Where another reading begins or ends to hold, or ground begins or ends on which nobody should be off a
    /// path, or a footway beside the road does; and the end of the piece.
    std::vector<double> cuts(const match::Stretch& stretch, double from_m, double to_m) const {
        std::vector<double> out;
        const auto add = [&](double m) {
            if (m > from_m + 1 && m < to_m - 1) out.push_back(m);
        };
        for (const match::Reading& other : stretch.others)
            if (holds_long_enough(other)) add(other.from_m), add(other.to_m);
        if (stretch.way && needs_footway(*stretch.way))
            for (const PavementRun& run : m_pavements)
                add(run.from_m);
        if (!stretch.way)
            for (const GroundPiece& ground : m_grounds)
                if (ground.ground == "square" || gravity_of(ground.ground) >= k_grave_ground)
                    add(ground.from_m), add(ground.to_m);
        std::sort(out.begin(), out.end());
        out.erase(std::unique(out.begin(), out.end(), [](double a, double b) { return b - a < 1; }),
                  out.end());
        out.push_back(to_m);
        return out;
    }

    double metres(const AreaSpan& span, WalkPlace place) const {
        return point_at(m_scene.walks()[span.walk], place).at_m;
    }

    StretchSurvey piece_of(std::size_t index, double from_m, double to_m, bool in_water) const {
        const match::Stretch& stretch = m_scene.trace().stretches[index];
        StretchSurvey out;
        out.from_m = from_m;
        out.to_m = to_m;
        out.line = cut_line(stretch, from_m, to_m);
        out.reading = reading_of(stretch, index, stretch.way, stretch.confidence, out, in_water);
        for (const match::Reading& other : stretch.others)
            if (holds_long_enough(other) &&
                overlap_m(other.from_m, other.to_m, from_m, to_m) > 0.5 * (to_m - from_m))
                out.others.push_back(reading_of(stretch, index, other.way, other.probability, out, in_water));
        return out;
    }

    static std::vector<match::TracePoint> cut_line(const match::Stretch& stretch, double from_m,
                                                   double to_m) {
        if (from_m <= stretch.from_m && to_m >= stretch.to_m) {
            auto whole = stretch.line; // of one point where the walk stands still; a line has two
            if (whole.size() == 1) whole.push_back(whole.front());
            return whole;
        }
        const auto at = [&](double metres) {
            for (std::size_t i = 0; i + 1 < stretch.line.size(); ++i) {
                const auto &a = stretch.line[i], &b = stretch.line[i + 1];
                if (metres > b.at_m && i + 2 < stretch.line.size()) continue;
                const double share =
                    b.at_m > a.at_m ? std::clamp((metres - a.at_m) / (b.at_m - a.at_m), 0.0, 1.0) : 0;
                return match::TracePoint{
                    {a.position.lon_deg + share * (b.position.lon_deg - a.position.lon_deg),
                     a.position.lat_deg + share * (b.position.lat_deg - a.position.lat_deg)},
                    metres,
                    map::k_no_node};
            }
            return stretch.line.front();
        };
        std::vector<match::TracePoint> line{at(from_m)};
        for (const auto& p : stretch.line)
            if (p.at_m > from_m && p.at_m < to_m) line.push_back(p);
        line.push_back(at(to_m));
        return line;
    }

    StretchReading reading_of(const match::Stretch& stretch, std::size_t index,
                              std::optional<map::WayIndex> way, double probability,
                              const StretchSurvey& piece, bool in_water) const {
        StretchReading out;
        out.probability = probability;
        if (way) {
            const map::Object& object = m_scene.way(*way).object;
            out.access = m_scene.facts(*way).access;
            out.osm = object.id;
            out.name = name_of(object.tags);
            out.evidence = evidence_of(object);
            set_way_facts(out.facts, object.tags, m_scene.facts(*way));
            set_stretch_way_facts(out.facts, m_scene.facts(*way));
            const auto when = m_scene.passing(piece.from_m, piece.to_m, piece.line.front().position);
            if (const auto state = marked_state(object.tags, when);
                !state.empty() && m_scene.facts(*way).lifecycle.empty())
                set_choice(out.facts, "lifecycle", state);
            set_condition_facts(out.facts, object.tags);
            if (stretch.way == way) set_oneway_facts(out.facts, m_scene, *way, stretch.line);
            set_timed_facts(out.facts, m_scene, object.tags,
                            {piece.from_m, piece.to_m, piece.line.front().position});
            out.facts.set("ladder", needs_hands(object.tags));
            if (stretch.way == way) worsen_by_gates(stretch, out);
            if (m_scene.role(*way) == LineRole::road)
                out.facts.set("pavement_beside",
                              footway_runs_beside(stretch.way == way ? m_pavements
                                                                     : pavement_runs(m_scene, index, *way),
                                                  piece.from_m, piece.to_m));
        } else {
            out.access = in_water ? map::Access::water : map::Access::open_ground;
            out.facts.set_unknown("name");
            set_open_ground(out.facts, piece, in_water);
        }
        out.facts.set("access", std::string(map::to_string(out.access)));
        out.facts.set("length_m", piece.to_m - piece.from_m);
        out.facts.set("confidence", std::clamp(probability, 0.0, 1.0));
        out.facts.set("open_country_is_open", m_scene.region().open_country_is_open);
        out.facts.set("covered_by_map", covered(piece));
        return out;
    }

    void set_open_ground(Facts& facts, const StretchSurvey& piece, bool in_water) const {
        const bool open = m_scene.region().open_country_is_open && !in_water;
        std::map<std::string_view, double> lengths;
        for (const GroundPiece& ground : m_grounds)
            lengths[ground.ground] += overlap_m(ground.from_m, ground.to_m, piece.from_m, piece.to_m);
        std::string_view worst;
        const double counts_m = std::min(k_ground_counts_m, 0.5 * (piece.to_m - piece.from_m));
        for (const auto& [ground, length_m] : lengths)
            if (length_m >= counts_m && length_m > 0 && gravity_of(ground) > gravity_of(worst))
                worst = ground;
        const bool dangerous = worst == "military" || worst == "tidal" || worst == "building";
        if (lengths["square"] >= k_share_in_square * (piece.to_m - piece.from_m) && !dangerous)
            worst = "square";
        set_choice(facts, "ground", in_water ? "water" : worst);
        // The Scottish right does not reach farmyards, gardens and the like (Land Reform (Scotland) Act 2003,
        // s. 6).
        const bool kept_out = worst == "garden" || worst == "farmyard" || worst == "building" ||
                              worst == "military" || worst == "quarry" || worst == "industrial" ||
                              worst == "residential";
        facts.set("right", std::string(open && !kept_out ? "open_access" : "unknown"));
        facts.set("right_conflict", false);
        for (const auto* name : {"bridge", "tunnel", "ford", "steps", "via_ferrata", "ladder"})
            facts.set(name, false);
        facts.set("tidal", worst == "tidal");
    }

    /// A gate on the way may say no where the way itself does not. A recorded right on the way stands against
    /// a word for vehicles on the gate, and yields only to one for walkers.
    void worsen_by_gates(const match::Stretch& stretch, StretchReading& reading) const {
        const auto rank = [](map::Right right) {
            return right == map::Right::forbidden ? 2 : right == map::Right::restricted ? 1 : 0;
        };
        map::Right right = m_scene.facts(*stretch.way).right.right;
        for (const match::TracePoint& p : stretch.line) {
            const map::TaggedNode* node = m_scene.ground().tagged(p.node);
            if (!node || !map::may_bar_walkers(node->object.tags)) continue;
            const map::BarrierReading gate =
                map::read_barrier(node->object.tags, m_scene.passing(p.at_m, p.at_m, p.position));
            const bool for_walkers = node->object.tags.has("foot");
            if (rank(gate.right.right) <= rank(right)) continue;
            if (right == map::Right::recorded && !for_walkers) continue;
            if (right == map::Right::recorded) reading.facts.set("right_conflict", true);
            right = gate.right.right;
            reading.facts.set("right_from_gate", true);
            set_choice(reading.facts, "right", map::to_string(right));
            set_text(reading.facts, "right_value", gate.right.value);
        }
    }

    bool covered(const StretchSurvey& piece) const {
        for (std::size_t i = 0; i < piece.line.size(); ++i) {
            if (!m_scene.ground().covers(piece.line[i].position)) return false;
            if (i == 0) continue;
            const auto &a = piece.line[i - 1], &b = piece.line[i];
            const int steps = static_cast<int>((b.at_m - a.at_m) / k_coverage_step_m);
            for (int k = 1; k <= steps; ++k) {
                const double share = static_cast<double>(k) / (steps + 1);
                if (!m_scene.ground().covers(
                        {a.position.lon_deg + share * (b.position.lon_deg - a.position.lon_deg),
                         a.position.lat_deg + share * (b.position.lat_deg - a.position.lat_deg)}))
                    return false;
            }
        }
        return true;
    }

    const Scene& m_scene;
    std::vector<GroundPiece> m_grounds, m_water;
    std::vector<PavementRun> m_pavements; ///< of the stretch that is being described
};

/// Where a path begins on a road the matching may leave some centimetres along the road: nobody walks there.
/// The neighbour takes the metres and the line, so that the route stays covered; whether the road is crossed
/// is found elsewhere. To set out from a motorway or from rails is told of all the same.
void drop_touched(std::vector<StretchSurvey>& stretches) {
    constexpr double k_touched_m = 0.5;
    for (std::size_t i = 0; i < stretches.size() && stretches.size() > 1;) {
        const StretchSurvey& here = stretches[i];
        const map::Access access = here.reading.access;
        if (here.to_m - here.from_m >= k_touched_m || access == map::Access::motorway ||
            access == map::Access::railway) {
            ++i;
            continue;
        }
        StretchSurvey& taker = stretches[i > 0 ? i - 1 : 1];
        const auto& line = here.line; // shares an end with the line beside it
        if (i > 0) {
            taker.to_m = here.to_m;
            if (!line.empty()) taker.line.insert(taker.line.end(), line.begin() + 1, line.end());
        } else {
            taker.from_m = here.from_m;
            if (!line.empty()) taker.line.insert(taker.line.begin(), line.begin(), line.end() - 1);
        }
        stretches.erase(stretches.begin() + static_cast<std::ptrdiff_t>(i));
    }
}

} // namespace

std::vector<StretchSurvey> describe_stretches(const Scene& scene, const AreaFinder& finder,
                                              const std::vector<WaterSpan>& waters) {
    std::vector<StretchSurvey> out;
    Describer describer(scene, finder, waters);
    for (std::size_t i = 0; i < scene.trace().stretches.size(); ++i)
        describer.describe(i, out);
    drop_touched(out);
    return out;
}

} // namespace waywarden::survey
