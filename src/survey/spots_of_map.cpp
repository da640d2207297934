#include "survey/spots.hpp"
#include "survey/way_facts.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <limits>

namespace waywarden::survey {

namespace {

constexpr double k_step_m = 20;
constexpr double k_exact_m = 0.5;
/// A piece with nothing mapped within about this on either side, and as long, is visibly empty. Even wild
/// moorland has a stream in a square kilometre; common practice, no source.
constexpr double k_empty_m = 400;
constexpr double k_seconds_a_day = 86400;

geo::Position along(geo::Position a, geo::Position b, double share) {
    return {a.lon_deg + share * (b.lon_deg - a.lon_deg), a.lat_deg + share * (b.lat_deg - a.lat_deg)};
}

/// Collects the pieces of the drawn line where something holds.
class Pieces {
  public:
    void add(double at_m, geo::Position p, bool holds) {
        if (holds && !m_open) m_pieces.push_back({at_m, at_m, p});
        if (holds) m_pieces.back().to_m = at_m;
        m_open = holds;
    }
    void extend(double at_m) { m_pieces.back().to_m = at_m; }
    void break_off() { m_open = false; }
    struct Piece {
        double from_m, to_m;
        geo::Position position;
    };
    const std::vector<Piece>& all() const { return m_pieces; }

  private:
    std::vector<Piece> m_pieces;
    bool m_open = false;
};

/// Where on a leg the map's edge lies, by halving: `share` of the last place that is like the first.
double edge_share(const map::Ground& ground, geo::Position a, geo::Position b, double length_m) {
    const bool first = ground.covers(a);
    double low = 0, high = 1;
    while ((high - low) * length_m > k_exact_m) {
        const double middle = (low + high) / 2;
        (ground.covers(along(a, b, middle)) == first ? low : high) = middle;
    }
    return (low + high) / 2;
}

void find_off_map(const map::Ground& ground, const route::Route& route, std::vector<Spot>& out) {
    Pieces pieces;
    const auto metres = route::metres_along(route);
    for (std::size_t s = 0; s < route.segments.size(); ++s) {
        const auto& points = route.segments[s].points;
        pieces.break_off();
        geo::Position last = points.front().position;
        double last_m = metres[s].front();
        pieces.add(last_m, last, !ground.covers(last));
        for (std::size_t i = 1; i < points.size(); ++i) {
            const double leg_m = metres[s][i] - metres[s][i - 1];
            const int steps = std::max(1, static_cast<int>(std::ceil(leg_m / k_step_m)));
            for (int k = 1; k <= steps; ++k) {
                const double share = static_cast<double>(k) / steps;
                const geo::Position p = along(points[i - 1].position, points[i].position, share);
                const double at_m = metres[s][i - 1] + share * leg_m;
                const bool was_on = ground.covers(last), is_on = ground.covers(p);
                if (was_on != is_on) {
                    const double edge = edge_share(ground, last, p, at_m - last_m);
                    const double edge_m = last_m + edge * (at_m - last_m);
                    if (is_on)
                        pieces.extend(edge_m);
                    else
                        pieces.add(edge_m, along(last, p, edge), true);
                }
                pieces.add(at_m, p, !is_on);
                last = p;
                last_m = at_m;
            }
        }
    }
    for (const auto& piece : pieces.all()) {
        Spot spot = spot_of("off_map", piece.from_m, piece.to_m, piece.position, 0, true);
        spot.facts.set("at_map_edge", true);
        set_text(spot.facts, "detail", "the map does not cover this piece");
        out.push_back(std::move(spot));
    }
}

/// Squares of the plane that hold anything mapped.
class MappedSquares {
  public:
    explicit MappedSquares(const Scene& scene) {
        for (map::WayIndex w = 0; w < scene.ground().ways.size(); ++w) {
            const auto& nodes = scene.way(w).nodes;
            for (std::size_t i = 0; i + 1 < nodes.size(); ++i)
                add_line(scene.node_at(nodes[i]), scene.node_at(nodes[i + 1]));
        }
        for (const auto& node : scene.ground().tagged_nodes)
            add(scene.frame().to_plane(node.position));
        for (const auto& area : scene.ground().areas)
            for (const auto& polygon : area.polygons)
                for (const geo::Position p : polygon.outer)
                    add(scene.frame().to_plane(p));
        std::sort(m_squares.begin(), m_squares.end());
        m_squares.erase(std::unique(m_squares.begin(), m_squares.end()), m_squares.end());
    }
    bool empty_around(geo::Metres2 p) const {
        const auto [x, y] = square(p);
        for (long dx = -2; dx <= 2; ++dx)
            for (long dy = -2; dy <= 2; ++dy)
                if (std::binary_search(m_squares.begin(), m_squares.end(), Square{x + dx, y + dy}))
                    return false;
        return true;
    }

  private:
    static constexpr double k_side_m = k_empty_m / 2;
    using Square = std::pair<long, long>;
    static Square square(geo::Metres2 p) {
        return {std::lround(p.x_m / k_side_m), std::lround(p.y_m / k_side_m)};
    }
    void add(geo::Metres2 p) {
        const Square one = square(p);
        if (m_squares.empty() || m_squares.back() != one) m_squares.push_back(one);
    }
    void add_line(geo::Metres2 a, geo::Metres2 b) {
        const int steps = static_cast<int>(std::min(1000.0, geo::length_m(b - a) / k_side_m)) + 1;
        for (int k = 0; k <= steps; ++k)
            add(a + (static_cast<double>(k) / steps) * (b - a));
    }
    std::vector<Square> m_squares; ///< in order, each once
};

/// Looked at only along open ground: on a way the map is not empty.
void find_empty(const Scene& scene, const AreaFinder& finder, std::vector<Spot>& out) {
    const auto& stretches = scene.trace().stretches;
    if (std::none_of(stretches.begin(), stretches.end(),
                     [](const match::Stretch& s) { return !s.way && s.to_m - s.from_m >= k_empty_m; }))
        return;
    const MappedSquares squares(scene);
    Pieces pieces;
    for (const Walk& walk : scene.walks()) {
        pieces.break_off();
        for (std::size_t i = 0; i < walk.steps.size(); ++i) {
            const WalkPoint &a = walk.points[i], &b = walk.points[i + 1];
            const int steps = std::max(1, static_cast<int>((b.at_m - a.at_m) / k_step_m));
            for (int k = 0; k <= steps; ++k) {
                const WalkPoint p = point_at(walk, {i, static_cast<double>(k) / steps});
                pieces.add(p.at_m, p.position, !walk.steps[i].way && squares.empty_around(p.at));
            }
        }
    }
    for (const auto& piece : pieces.all()) {
        if (piece.to_m - piece.from_m < k_empty_m) continue;
        const bool in_area =
            std::any_of(scene.ground().areas.begin(), scene.ground().areas.end(), [&](const map::Area& area) {
                const auto& spans = finder.spans(area);
                return std::any_of(spans.begin(), spans.end(), [&](const AreaSpan& span) {
                    const Walk& walk = scene.walks()[span.walk];
                    return point_at(walk, span.from).at_m <= piece.from_m &&
                           point_at(walk, span.to).at_m >= piece.to_m;
                });
            });
        if (in_area) continue;
        Spot spot = spot_of("empty_map", piece.from_m, piece.to_m, piece.position, 0, true);
        spot.facts.set("off_path", true);
        set_text(spot.facts, "detail", "the map shows nothing at all within about 400 m");
        out.push_back(std::move(spot));
    }
}

/// As near as this the rule on missing data warns in any case.
constexpr double k_missing_beside_m = 100;

void find_shortfalls(const Scene& scene, std::vector<Spot>& out) {
    for (const map::Shortfall& shortfall : scene.ground().shortfalls) {
        double best_m = std::numeric_limits<double>::infinity(), at_m = 0;
        geo::Position position;
        for (const Walk& walk : scene.walks())
            for (std::size_t i = 0; shortfall.position && i < walk.steps.size(); ++i) {
                const geo::Metres2 p = scene.frame().to_plane(*shortfall.position);
                const auto near = geo::nearest_on_segment(p, walk.points[i].at, walk.points[i + 1].at);
                if (near.distance_m >= best_m) continue;
                best_m = near.distance_m;
                const WalkPoint place = point_at(walk, {i, near.fraction});
                at_m = place.at_m;
                position = place.position;
            }
        // What is not known of water or a danger may lie nearer than what is.
        const bool may_be_nearer =
            shortfall.concerns != map::Shortfall::Concerns::near && best_m > k_missing_beside_m;
        const bool known = std::isfinite(best_m) && !may_be_nearer;
        if (!std::isfinite(best_m) && !scene.walks().empty() && !scene.walks().front().points.empty())
            position = scene.walks().front().points.front().position;
        Spot spot = spot_of("shortfall", at_m, std::isfinite(best_m) ? at_m : scene.trace().length_m,
                            position, known ? best_m : 0, false);
        if (!known) spot.facts.set_unknown("distance_m");
        set_text(spot.facts, "detail", shortfall.text);
        spot.evidence.push_back({shortfall.object, {}, 0});
        out.push_back(std::move(spot));
    }
}

void find_age(const Scene& scene, std::int64_t today_s, std::vector<Spot>& out) {
    for (const map::Source& source : scene.ground().sources) {
        const auto time_s = source.data_until ? time_of(*source.data_until) : std::nullopt;
        const geo::Position start = scene.walks().empty() || scene.walks().front().points.empty()
                                        ? geo::Position{}
                                        : scene.walks().front().points.front().position;
        Spot spot =
            spot_of(time_s ? "stale_map" : "map_date_unknown", 0, scene.trace().length_m, start, 0, true);
        set_text(spot.facts, "map_date", time_s ? source.data_until->substr(0, 10) : "");
        if (time_s)
            spot.facts.set("map_age_days", std::max(0.0, std::floor(static_cast<double>(today_s - *time_s) /
                                                                    k_seconds_a_day)));
        else
            spot.facts.set_unknown("map_age_days");
        set_text(spot.facts, "detail", source.path);
        out.push_back(std::move(spot));
    }
}

} // namespace

std::optional<std::int64_t> time_of(std::string_view iso) {
    const auto number = [&](std::size_t at, std::size_t count) -> std::optional<int> {
        if (iso.size() < at + count) return std::nullopt;
        int value = 0;
        for (const char c : iso.substr(at, count)) {
            if (c < '0' || c > '9') return std::nullopt;
            value = 10 * value + (c - '0');
        }
        return value;
    };
    const auto year = number(0, 4), month = number(5, 2), day = number(8, 2);
    if (!year || !month || !day) return std::nullopt;
    const std::chrono::year_month_day date{std::chrono::year(*year),
                                           std::chrono::month(static_cast<unsigned>(*month)),
                                           std::chrono::day(static_cast<unsigned>(*day))};
    if (!date.ok()) return std::nullopt;
    const std::int64_t day_s = std::chrono::sys_days(date).time_since_epoch().count() * std::int64_t{86400};
    const auto hour = number(11, 2), minute = number(14, 2), second = number(17, 2);
    return day_s + hour.value_or(0) * 3600 + minute.value_or(0) * 60 + second.value_or(0);
}

std::optional<double> map_age_days(const map::Ground& ground, std::int64_t today_s) {
    std::optional<double> oldest;
    for (const map::Source& source : ground.sources) {
        const auto time_s = source.data_until ? time_of(*source.data_until) : std::nullopt;
        if (!time_s) return std::nullopt;
        const double age =
            std::max(0.0, std::floor(static_cast<double>(today_s - *time_s) / k_seconds_a_day));
        oldest = std::max(oldest.value_or(0), age);
    }
    return oldest;
}

std::string map_date(const map::Ground& ground) {
    std::string oldest;
    for (const map::Source& source : ground.sources) {
        if (!source.data_until || !time_of(*source.data_until)) return "";
        const std::string date = source.data_until->substr(0, 10);
        if (oldest.empty() || date < oldest) oldest = date;
    }
    return oldest;
}

void find_map_spots(const Scene& scene, const route::Route& route, const AreaFinder& finder,
                    std::int64_t today_s, std::vector<Spot>& out) {
    find_off_map(scene.ground(), route, out);
    find_empty(scene, finder, out);
    find_shortfalls(scene, out);
    find_age(scene, today_s, out);
}

} // namespace waywarden::survey
