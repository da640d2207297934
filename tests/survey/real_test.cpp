#include "geos_lines.hpp"
#include "map/read.hpp"
#include "match/match.hpp"
#include "route/read.hpp"
#include "surveyed.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <memory>
#include <random>
#include <set>

// Crossings on real maps against GEOS: a walk crosses a line where a small buffer around the walk's place on
// it, cut by the line into pieces, holds the way in and the way out in different pieces. No angles, no sides:
// nothing is shared with the code under test but the walk itself.

using namespace waywarden;
using namespace waywarden::test;

namespace {

constexpr double k_look_m = 0.2; ///< from the place to the way in and the way out
constexpr double k_end_m = 6;    ///< so near its ends the walk's own error decides

struct Step {
    geo::Metres2 from, to;
    double from_m = 0, to_m = 0; ///< along the route as drawn
    std::optional<map::WayIndex> way;
};

struct RealCase {
    map::Ground ground;
    route::Route route;
    match::Trace trace;
    survey::Survey survey;
};

RealCase read_case(const std::string& map_file, const std::string& route_file) {
    RealCase out;
    out.route = route::read_file(route_file);
    map::Corridor corridor;
    for (const auto& segment : out.route.segments) {
        auto& line = corridor.lines.emplace_back();
        for (const auto& p : segment.points)
            line.push_back(p.position);
    }
    const std::vector<std::string> maps{map_file};
    out.ground = map::read(maps, corridor);
    out.trace = match::match(out.route, out.ground);
    out.survey = survey::survey(out.route, out.ground, out.trace, region::load("general"), test::k_today_s);
    return out;
}

/// Counts of what was compared, and a line for each disagreement.
struct Tally {
    int touches = 0, separated = 0, runs = 0, runs_crossed = 0, listed = 0;
    std::vector<std::string> wrong;
};

class Comparison {
  public:
    Comparison(const RealCase& real, const MapLines& lines, Tally& tally)
        : m_case(real), m_lines(lines), m_geos(lines.geos()), m_frame(lines.frame()), m_tally(tally) {}

    void run() {
        const auto& starts = m_case.trace.segment_starts;
        for (std::size_t s = 0; s < starts.size(); ++s) {
            const std::size_t end = s + 1 < starts.size() ? starts[s + 1] : m_case.trace.stretches.size();
            take_segment(starts[s], end);
            compare_touches();
            compare_runs();
        }
        for (const auto& crossing : m_case.survey.crossings)
            if (crossing.means != survey::Means::level && crossing.of != survey::CrossingOf::barrier)
                ++m_tally.listed;
    }

  private:
    using Entry = MapLines::Entry;

    geo::Metres2 place(const match::TracePoint& p) const {
        return m_frame.to_plane(p.node == map::k_no_node ? p.position : m_case.ground.nodes[p.node].position);
    }
    void take_segment(std::size_t first, std::size_t end) {
        m_steps.clear();
        std::optional<geo::Metres2> last;
        double last_m = 0;
        for (std::size_t i = first; i < end; ++i)
            for (const auto& point : m_case.trace.stretches[i].line) {
                const geo::Metres2 p = place(point);
                if (last && geo::length_m(p - *last) < 0.01) continue;
                if (last) m_steps.push_back({*last, p, last_m, point.at_m, m_case.trace.stretches[i].way});
                last = p;
                last_m = point.at_m;
            }
    }
    bool near_end(geo::Metres2 p) const {
        return geo::length_m(p - m_steps.front().from) < k_end_m ||
               geo::length_m(p - m_steps.back().to) < k_end_m;
    }
    std::optional<map::WayIndex> way(std::size_t step) const {
        return step < m_steps.size() ? m_steps[step].way : std::nullopt;
    }

    bool is_listed(map::WayIndex w, geo::Metres2 p, double at_m) const {
        return std::any_of(
            m_case.survey.crossings.begin(), m_case.survey.crossings.end(), [&](const auto& c) {
                return c.osm == m_case.ground.ways[w].object.id && std::abs(c.at_m - at_m) < 0.5 &&
                       geo::length_m(m_frame.to_plane(c.position) - p) < 0.5;
            });
    }

    /// Every place where a step meets a line that is walked neither before nor after it.
    void compare_touches() {
        for (std::size_t i = 0; i < m_steps.size(); ++i) {
            const Step& step = m_steps[i];
            const Geometry line = m_geos.line({step.from, step.to});
            for (const Entry* entry : m_lines.near(line.get())) {
                if (entry->first == step.way) continue;
                const Geometry met =
                    m_geos.own(GEOSIntersection_r(m_geos.context(), line.get(), entry->second.get()));
                for (const geo::Metres2 p : m_geos.points_of(met.get()))
                    compare_touch(i, p, *entry);
            }
        }
    }

    void compare_touch(std::size_t i, geo::Metres2 p, const Entry& entry) {
        const Step& step = m_steps[i];
        const bool at_start = geo::length_m(p - step.from) < 0.01, at_end = geo::length_m(p - step.to) < 0.01;
        if (at_start || near_end(p) || (at_end && (i + 1 == m_steps.size() || way(i + 1) == entry.first)))
            return;
        // Lines that end, or come, within centimetres of a point of the walk without a shared node are left
        // to the drawings.
        if (!at_end && std::min(geo::length_m(p - step.from), geo::length_m(p - step.to)) < k_buffer_m)
            return;
        const geo::Metres2 in = towards(p, step.from), out = towards(p, at_end ? m_steps[i + 1].to : step.to);
        if (!at_end && (ends_near(entry.first, p))) return;
        if (lies_on(in, entry.second.get()) || lies_on(out, entry.second.get()))
            return; // they run along each other
        ++m_tally.touches;
        const bool crossed = m_geos.separated({p}, entry.second.get(), in, out);
        if (crossed) ++m_tally.separated;
        const bool listed =
            is_listed(entry.first, p,
                      step.from_m + geo::length_m(p - step.from) / geo::length_m(step.to - step.from) *
                                        (step.to_m - step.from_m));
        if (crossed && !listed) note("not listed", entry.first, p);
        if (!crossed && listed && !road_splits_here(p, in, out, entry.first, step.way, way(i + 1)))
            note("listed", entry.first, p);
    }

    bool ends_near(map::WayIndex w, geo::Metres2 p) const {
        const auto& nodes = m_case.ground.ways[w].nodes;
        const auto near = [&](map::NodeIndex n) {
            return geo::length_m(m_frame.to_plane(m_case.ground.nodes[n].position) - p) < k_buffer_m;
        };
        return near(nodes.front()) || near(nodes.back());
    }
    bool lies_on(geo::Metres2 p, const GEOSGeometry* line) const {
        double m = 0;
        GEOSDistance_r(m_geos.context(), m_geos.line({p}).get(), line, &m);
        return m < 0.001;
    }

    /// A road that changes its way number at the place: all of its ways together cut the walk.
    bool road_splits_here(geo::Metres2 p, geo::Metres2 in, geo::Metres2 out, map::WayIndex w,
                          std::optional<map::WayIndex> before, std::optional<map::WayIndex> after) const {
        const std::string kind = kind_of(m_case.ground.ways[w].object.tags);
        Geometry all;
        for (const Entry* entry : m_lines.through(p)) {
            const auto& [other, line] = *entry;
            if (other == before || other == after || kind_of(m_case.ground.ways[other].object.tags) != kind)
                continue;
            all = all ? m_geos.own(GEOSUnion_r(m_geos.context(), all.get(), line.get()))
                      : m_geos.own(GEOSGeom_clone_r(m_geos.context(), line.get()));
        }
        return all && m_geos.separated({p}, all.get(), in, out);
    }

    static geo::Metres2 towards(geo::Metres2 p, geo::Metres2 q) {
        const double length_m = geo::length_m(q - p);
        return p + std::min(1.0, k_look_m / length_m) * (q - p);
    }

    /// Every piece walked along one road that is joined from a path or open ground, left for one, and goes on
    /// beyond both ends.
    void compare_runs() {
        const auto is_road = [&](std::size_t i) {
            return m_steps[i].way && kind_of(m_case.ground.ways[*m_steps[i].way].object.tags) == "road";
        };
        for (std::size_t i = 1; i < m_steps.size();) {
            std::size_t end = i + 1;
            while (end < m_steps.size() && m_steps[end].way == m_steps[i].way)
                ++end;
            if (is_road(i) && end < m_steps.size() && !is_road(i - 1) && !is_road(end) &&
                m_steps[i - 1].way != m_steps[i].way)
                compare_run(i, end);
            i = end;
        }
    }

    void compare_run(std::size_t first, std::size_t end) {
        const map::Way& road = m_case.ground.ways[*m_steps[first].way];
        const geo::Metres2 joined = m_steps[first].from, left = m_steps[end].from;
        const auto is_tip = [&](geo::Metres2 p) {
            return geo::length_m(m_frame.to_plane(m_case.ground.nodes[road.nodes.front()].position) - p) <
                       k_buffer_m ||
                   geo::length_m(m_frame.to_plane(m_case.ground.nodes[road.nodes.back()].position) - p) <
                       k_buffer_m;
        };
        if (near_end(joined) || near_end(left)) return;
        if (std::set<map::NodeIndex>(road.nodes.begin(), road.nodes.end()).size() < road.nodes.size())
            return; // a ring has no sides
        std::vector<geo::Metres2> run{joined}, line;
        for (std::size_t i = first; i < end; ++i)
            run.push_back(m_steps[i].to);
        for (const map::NodeIndex n : road.nodes)
            line.push_back(m_frame.to_plane(m_case.ground.nodes[n].position));
        Geometry whole = m_geos.line(line);
        if (is_tip(joined) && !add_next(whole, road, joined, m_steps[first].to)) return;
        if (is_tip(left) && !add_next(whole, road, left, m_steps[end - 1].from)) return;
        const geo::Metres2 in = towards(joined, m_steps[first - 1].from),
                           out = towards(left, m_steps[end].to);
        if (lies_on(in, whole.get()) || lies_on(out, whole.get())) return;
        ++m_tally.runs;
        const bool crossed = m_geos.separated(run, whole.get(), in, out);
        if (crossed) ++m_tally.runs_crossed;
        const Geometry along = m_geos.line(run);
        const bool listed =
            std::any_of(m_case.survey.crossings.begin(), m_case.survey.crossings.end(), [&](const auto& c) {
                double m = 0;
                GEOSDistance_r(m_geos.context(), along.get(),
                               m_geos.line({m_frame.to_plane(c.position)}).get(), &m);
                return c.osm == road.object.id && m < 0.5 && c.at_m > m_steps[first].from_m &&
                       c.at_m < m_steps[end].from_m;
            });
        if (!crossed && listed && (bends_sharply(road, joined) || bends_sharply(road, left))) return;
        if (crossed != listed)
            note(crossed ? "walked along, not listed" : "walked along, listed", *m_steps[first].way, joined);
    }

    /// Lets the road go on beyond its tip: as the one way there of the same name, or, where the ways there
    /// have none, drawn on straight. False at a dead end, or where more than one way may be it.
    bool add_next(Geometry& line, const map::Way& road, geo::Metres2 tip, geo::Metres2 along) const {
        auto next = m_lines.through(tip);
        std::erase_if(next, [&](const Entry* entry) {
            const auto& other = m_case.ground.ways[entry->first].object;
            return other.id == road.object.id || kind_of(other.tags) != "road";
        });
        if (next.size() != 1) return false;
        const auto& tags = m_case.ground.ways[next.front()->first].object.tags;
        const bool named = tags.has("name") && tags.get("name") == road.object.tags.get("name");
        if (!named && (tags.has("name") || tags.has("ref"))) return false;
        const Geometry straight = m_geos.line({tip, tip + 1.0 / geo::length_m(along - tip) * (tip - along)});
        line = m_geos.own(
            GEOSUnion_r(m_geos.context(), line.get(), named ? next.front()->second.get() : straight.get()));
        return true;
    }

    /// Whether the road bends by more than 60 degrees at a place: which side is which is then left open.
    bool bends_sharply(const map::Way& road, geo::Metres2 p) const {
        for (std::size_t i = 1; i + 1 < road.nodes.size(); ++i) {
            const auto at = [&](std::size_t k) {
                return m_frame.to_plane(m_case.ground.nodes[road.nodes[k]].position);
            };
            if (geo::length_m(at(i) - p) > 0.01) continue;
            const geo::Metres2 a = at(i) - at(i - 1), b = at(i + 1) - at(i);
            if (geo::dot(a, b) < 0.5 * geo::length_m(a) * geo::length_m(b)) return true;
        }
        return false;
    }

    void note(const std::string& what, map::WayIndex w, geo::Metres2 p) {
        const geo::Position at = m_frame.to_position(p);
        m_tally.wrong.push_back(fmt::format("{}: {} at {:.6f},{:.6f}", what,
                                            map::to_string(m_case.ground.ways[w].object.id), at.lat_deg,
                                            at.lon_deg));
    }

    const RealCase& m_case;
    const MapLines& m_lines;
    const Geos& m_geos;
    const geo::LocalFrame& m_frame;
    Tally& m_tally;
    std::vector<Step> m_steps;
};

/// A walk from node to node that turns anywhere but back, over paths and roads alike: more crossings of every
/// shape than anyone would plan.
match::Trace random_walk(const map::Ground& ground, const std::vector<std::vector<map::WayIndex>>& ways_at,
                         std::mt19937& random) {
    const auto pick = [&](std::size_t count) {
        return std::uniform_int_distribution<std::size_t>(0, count - 1)(random);
    };
    match::Trace trace;
    trace.segment_starts = {0};
    map::NodeIndex at = 0;
    do
        at = static_cast<map::NodeIndex>(pick(ground.nodes.size()));
    while (ways_at[at].empty());
    map::NodeIndex before = map::k_no_node;
    for (int steps = 0; steps < 1000; ++steps) {
        std::vector<std::pair<map::WayIndex, map::NodeIndex>> arms;
        for (const map::WayIndex w : ways_at[at]) {
            const auto& nodes = ground.ways[w].nodes;
            for (std::size_t i = 0; i < nodes.size(); ++i) {
                if (nodes[i] != at) continue;
                if (i > 0 && nodes[i - 1] != before && nodes[i - 1] != at) arms.emplace_back(w, nodes[i - 1]);
                if (i + 1 < nodes.size() && nodes[i + 1] != before && nodes[i + 1] != at)
                    arms.emplace_back(w, nodes[i + 1]);
            }
        }
        if (arms.empty()) break; // a dead end
        const auto [way, next] = arms[pick(arms.size())];
        if (trace.stretches.empty() || trace.stretches.back().way != way)
            trace.stretches.push_back({way,
                                       trace.length_m,
                                       trace.length_m,
                                       1,
                                       {{ground.nodes[at].position, trace.length_m, at}},
                                       {}});
        trace.length_m += geo::distance_m(ground.nodes[at].position, ground.nodes[next].position);
        trace.stretches.back().line.push_back({ground.nodes[next].position, trace.length_m, next});
        trace.stretches.back().to_m = trace.length_m;
        before = at;
        at = next;
    }
    return trace;
}

void say(const Tally& tally) {
    for (const std::string& wrong : tally.wrong)
        MESSAGE(wrong);
    MESSAGE(tally.touches << " places met, " << tally.separated << " crossed; " << tally.runs
                          << " runs along a road, " << tally.runs_crossed << " crossed; " << tally.listed
                          << " listed that are not level");
    CHECK(tally.wrong.empty());
}

} // namespace

TEST_SUITE("real") {
    TEST_CASE("every place where signed routes meet a road, rail or water line, by cutting discs with GEOS") {
        const std::string data = WAYWARDEN_SHARED_DATA;
        if (!std::filesystem::exists(data)) {
            MESSAGE("skipped: no folder " << data);
            return;
        }
        Tally tally;
        for (const auto& [folder, map] :
             {std::pair{"rutland", "rutland-2022"}, std::pair{"liechtenstein", "liechtenstein-2021"}}) {
            std::set<std::filesystem::path> files;
            for (const auto& entry : std::filesystem::directory_iterator(data + "/routes/" + folder))
                if (entry.path().string().find(".exact.gpx") != std::string::npos) files.insert(entry.path());
            for (const auto& file : files) {
                const RealCase real = read_case(data + "/extracts/" + map + ".osm.pbf", file.string());
                const MapLines lines(real.ground, real.route.segments.front().points.front().position);
                Comparison(real, lines, tally).run();
            }
        }
        say(tally);
        CHECK(tally.touches > 400); // the comparison has something to compare
        CHECK(tally.separated > 80);
    }

    TEST_CASE("the same for walks at random over the maps") {
        const std::string data = WAYWARDEN_SHARED_DATA;
        if (!std::filesystem::exists(data)) {
            MESSAGE("skipped: no folder " << data);
            return;
        }
        Tally tally;
        std::mt19937 random(20261125);
        for (const auto* map : {"rutland-2022", "liechtenstein-2021"}) {
            const std::vector<std::string> files{data + "/extracts/" + map + ".osm.pbf"};
            const geo::Position middle =
                map == std::string("rutland-2022") ? geo::Position{-0.62, 52.65} : geo::Position{9.55, 47.15};
            RealCase real;
            real.ground = map::read(files, {{{middle, middle}}, 40'000});
            const MapLines lines(real.ground, middle);
            std::vector<std::vector<map::WayIndex>> ways_at(real.ground.nodes.size());
            for (map::WayIndex w = 0; w < real.ground.ways.size(); ++w)
                if (const auto kind = map::line_kind(real.ground.ways[w].object.tags);
                    kind == map::LineKind::path || kind == map::LineKind::road)
                    for (const map::NodeIndex n : real.ground.ways[w].nodes)
                        if (ways_at[n].empty() || ways_at[n].back() != w) ways_at[n].push_back(w);
            for (int i = 0; i < 900; ++i) {
                real.trace = random_walk(real.ground, ways_at, random);
                if (real.trace.stretches.empty()) continue;
                real.route.segments = {{}};
                for (const auto& stretch : real.trace.stretches)
                    for (const auto& p : stretch.line)
                        real.route.segments[0].points.push_back({p.position, std::nullopt, 0});
                real.survey = survey::survey(real.route, real.ground, real.trace, region::load("general"),
                                             test::k_today_s);
                Comparison(real, lines, tally).run();
            }
        }
        say(tally);
        CHECK(tally.separated > 1000);
        CHECK(tally.runs_crossed > 50);
    }
}
