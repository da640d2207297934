#include "survey/areas.hpp"
#include "survey/arms.hpp"
#include "survey/hits.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace waywarden::survey {

namespace {

/// A bend beyond this at a junction is a turn off the road rather than the road going on.
constexpr double k_straight_on_rad = 45 * std::numbers::pi / 180;

/// Where a road bends by more than this at a junction its inside and outside are a matter of opinion.
constexpr double k_sharp_corner_rad = 60 * std::numbers::pi / 180;

/// Less than this is no bend but the rounding of coordinates.
constexpr double k_straight_rad = 1e-4;

bool same_road(const map::Tags& a, const map::Tags& b) {
    for (const auto* key : {"name", "ref"})
        if (a.has(key) && a.get(key) == b.get(key)) return true;
    return false;
}

/// Goes along a road (or a line of rails) through changes of its way number.
class RoadWalk {
  public:
    RoadWalk(const Scene& scene, std::size_t walk_index)
        : m_scene(scene), m_walk(scene.walks()[walk_index]), m_walk_index(walk_index) {}

    void find(std::vector<Hit>& out) const {
        for (std::size_t i = 0; i < m_walk.steps.size();) {
            std::size_t end = i + 1;
            if (is_road(i))
                while (end < m_walk.steps.size() && goes_on(end))
                    ++end;
            if (is_road(i) && i > 0 && end < m_walk.steps.size() &&
                !is_stub(m_scene, m_walk, i, k_stub_of_side) &&
                !is_stub(m_scene, m_walk, end, k_stub_of_side) && changes_side(i, end))
                out.push_back(hit(i, end));
            i = end;
        }
    }

  private:
    LineRole role(std::size_t step) const {
        const auto& way = m_walk.steps[step].way;
        return way ? m_scene.role(*way) : LineRole::none;
    }
    bool is_road(std::size_t step) const {
        return role(step) == LineRole::road || role(step) == LineRole::rail;
    }

    /// Whether the step is the same road as the one before it.
    bool goes_on(std::size_t step) const {
        const auto &before = m_walk.steps[step - 1].way, &after = m_walk.steps[step].way;
        if (before == after) return true;
        if (role(step) != role(step - 1) || !is_road(step)) return false;
        const WalkPoint& at = m_walk.points[step];
        if (at.node == map::k_no_node) return false;
        const WalkPoint &in = m_walk.points[step - 1], &out = m_walk.points[step + 1];
        if (other_arms(*before, at, in, out) || other_arms(*after, at, in, out)) return false;
        if (same_road(m_scene.tags(*before), m_scene.tags(*after))) return true;
        const auto others = arms_of_role(role(step), at, in, out);
        return others.empty() || bend_rad(at.at, in.at, out.at) < k_straight_on_rad;
    }

    bool leads_to(const WalkPoint& at, map::NodeIndex arm, const WalkPoint& p) const {
        return p.node == arm ||
               (p.node == map::k_no_node && same_direction(at.at, p.at, m_scene.node_at(arm)));
    }
    bool other_arms(map::WayIndex way, const WalkPoint& at, const WalkPoint& in, const WalkPoint& out) const {
        const auto arms = arms_of(m_scene.way(way), at.node);
        return std::any_of(arms.begin(), arms.end(), [&](map::NodeIndex arm) {
            return !leads_to(at, arm, in) && !leads_to(at, arm, out);
        });
    }
    std::vector<map::NodeIndex> arms_of_role(LineRole role, const WalkPoint& at, const WalkPoint& in,
                                             const WalkPoint& out) const {
        std::vector<map::NodeIndex> found;
        for (const map::WayIndex way : m_scene.ways_at(at.node)) {
            if (m_scene.role(way) != role) continue;
            for (const map::NodeIndex arm : arms_of(m_scene.way(way), at.node))
                if (!leads_to(at, arm, in) && !leads_to(at, arm, out)) found.push_back(arm);
        }
        return found;
    }

    /// How the road goes on at `at`, away from `along`: the place towards which it does.
    struct Beyond {
        geo::Metres2 towards;
        bool same_road = false; ///< false: an unnamed way of another number, which may be another road: then
                                ///< the piece walked along, drawn on straight ahead, tells the sides
    };
    std::optional<Beyond> road_beyond(map::WayIndex way, const WalkPoint& at, const WalkPoint& along,
                                      const WalkPoint& off, bool off_is_road) const {
        if (at.node == map::k_no_node) return Beyond{at.at - (along.at - at.at), true};
        const auto is_walked = [&](map::NodeIndex arm) {
            return leads_to(at, arm, along) || leads_to(at, arm, off);
        };
        std::optional<Beyond> best;
        const auto consider = [&](map::WayIndex candidate, bool same) {
            for (const map::NodeIndex arm : arms_of(m_scene.way(candidate), at.node)) {
                const geo::Metres2 p = m_scene.node_at(arm);
                if (!is_walked(arm) &&
                    (!best || bend_rad(at.at, along.at, p) < bend_rad(at.at, along.at, best->towards)))
                    best = Beyond{p, same};
            }
        };
        consider(way, true);
        for (const bool same : {true, false}) {
            if (best) break;
            for (const map::WayIndex other : m_scene.ways_at(at.node))
                if (other != way && m_scene.role(other) == m_scene.role(way) &&
                    same_road(m_scene.tags(other), m_scene.tags(way)) == same)
                    consider(other, same);
        }
        const bool turned_off = best && off_is_road && !best->same_road &&
                                bend_rad(at.at, along.at, best->towards) > k_straight_on_rad;
        return turned_off ? std::nullopt : best;
    }

    /// On which hand something lies: at a sharp corner it may be either, by the road's two arms or by the
    /// piece walked along.
    struct Hand {
        bool right, right_too;
    };

    /// The hand on which `off` lies for someone at `at` who faces `along` the road; none at a dead end.
    std::optional<Hand> hand_of(map::WayIndex way, const WalkPoint& at, const WalkPoint& along,
                                const WalkPoint& off, bool off_is_road) const {
        if (same_direction(at.at, along.at, off.at)) return std::nullopt;
        const auto beyond = road_beyond(way, at, along, off, off_is_road);
        if (!beyond) return std::nullopt;
        const double turn = turn_rad(at.at, along.at, off.at);
        const bool by_line = turn < std::numbers::pi;
        if (!beyond->same_road) return Hand{by_line, by_line};
        const bool by_arms = turn < turn_rad(at.at, along.at, beyond->towards);
        const bool sharp = bend_rad(at.at, along.at, beyond->towards) > k_sharp_corner_rad;
        return Hand{by_arms, sharp ? by_line : by_arms};
    }

    /// In doubt about a hand a crossing is one: better one listed too many.
    bool changes_side(std::size_t first, std::size_t end) const {
        const auto& p = m_walk.points;
        const auto came =
            hand_of(*m_walk.steps[first].way, p[first], p[first + 1], p[first - 1], is_road(first - 1));
        const auto went = hand_of(*m_walk.steps[end - 1].way, p[end], p[end - 1], p[end + 1], is_road(end));
        if (!came || !went) return false;
        bool turned = false;
        for (std::size_t i = first + 1; i < end; ++i)
            if (same_direction(p[i].at, p[i - 1].at, p[i + 1].at)) turned = !turned;
        // Seen from both ends, facing each other, the same hand is the other side.
        const auto crossed = [turned](bool came_right, bool went_right) {
            return (came_right == went_right) != turned;
        };
        return crossed(came->right, went->right) || crossed(came->right, went->right_too) ||
               crossed(came->right_too, went->right) || crossed(came->right_too, went->right_too);
    }

    /// Steps [first, end) of a road walked along.
    struct Piece {
        std::size_t first, end;
    };

    /// Whether what the walkers come from, or go on to at the piece's end, is on their right: at a bend of
    /// the road the inside of it.
    bool is_right(std::size_t point, const Piece& of) const {
        const auto& p = m_walk.points;
        if (point == of.end)
            return turn_rad(p[point].at, p[point - 1].at, p[point + 1].at) >= std::numbers::pi;
        return turn_rad(p[point].at, p[point + 1].at, p[point - 1].at) < std::numbers::pi;
    }

    /// A junction at which the road bends: where it runs straight through it has no inside.
    bool is_junction(std::size_t point) const {
        const WalkPoint &in = m_walk.points[point - 1], &at = m_walk.points[point],
                        &out = m_walk.points[point + 1];
        if (at.node == map::k_no_node || bend_rad(at.at, in.at, out.at) < k_straight_rad) return false;
        const auto meets = [&](LineRole role) { return !arms_of_role(role, at, in, out).empty(); };
        return meets(LineRole::road) || meets(LineRole::path) || meets(LineRole::rail);
    }

    /// The longest of the pieces into which `of` is cut that have what the walkers come from on the one hand
    /// and what they go on to on the other; all of it where no piece has.
    template <class Cut> Piece longest_crossed(const Piece& of, Cut is_cut) const {
        Piece best = of;
        double best_m = 0;
        for (std::size_t begin = of.first; begin < of.end;) {
            Piece piece{begin, begin + 1};
            while (piece.end < of.end && !is_cut(piece.end))
                ++piece.end;
            const double length_m = metres_between(m_walk, {piece.first, 0}, {piece.end - 1, 1});
            if (length_m > best_m && is_right(piece.first, piece) != is_right(piece.end, piece))
                best = piece, best_m = length_m;
            begin = piece.end;
        }
        return best;
    }

    /// A road walked along can be crossed anywhere; it is listed at one place, which must not hang on how its
    /// ways are numbered and cut: first where the map records the road alike, there from one junction to the
    /// next.
    Piece piece_crossed(const Piece& road) const {
        const Piece alike = longest_crossed(road, [&](std::size_t point) {
            const auto &before = *m_walk.steps[point - 1].way, &after = *m_walk.steps[point].way;
            return before != after && m_scene.tags(before).pairs() != m_scene.tags(after).pairs();
        });
        return longest_crossed(alike, [&](std::size_t point) { return is_junction(point); });
    }

    Hit hit(std::size_t first, std::size_t end) const {
        const Piece piece = piece_crossed({first, end});
        const WalkPlace place = middle_of(m_walk, {piece.first, 0}, {piece.end - 1, 1});
        const WalkPoint middle = point_at(m_walk, place);
        Hit hit;
        hit.how = Hit::How::staggered;
        hit.of = role(first) == LineRole::rail ? CrossingOf::rail : CrossingOf::road;
        hit.means = Means::level;
        hit.walk = m_walk_index;
        hit.at_m = middle.at_m;
        hit.from_m = m_walk.points[first].at_m;
        hit.to_m = m_walk.points[end].at_m;
        hit.at = middle.at;
        hit.position = middle.position;
        hit.way = m_walk.steps[place.step].way;
        for (std::size_t i = first; i < end; ++i)
            if (const auto way = *m_walk.steps[i].way;
                way != *hit.way && std::find(hit.also.begin(), hit.also.end(), way) == hit.also.end())
                hit.also.push_back(way);
        return hit;
    }

    const Scene& m_scene;
    const Walk& m_walk;
    std::size_t m_walk_index;
};

} // namespace

PlaceOnWalk between(const WalkPoint& a, const WalkPoint& b, double share) {
    return {a.at + share * (b.at - a.at), a.at_m + share * (b.at_m - a.at_m)};
}

bool is_stub(const Scene& scene, const Walk& walk, std::size_t point, double errors) {
    const double stub_m = std::min(errors * scene.trace().error_m, 5.0);
    const double at_m = walk.points[point].at_m;
    return at_m - walk.points.front().at_m < stub_m || walk.points.back().at_m - at_m < stub_m;
}

void find_staggered(const Scene& scene, std::vector<Hit>& out) {
    for (std::size_t w = 0; w < scene.walks().size(); ++w)
        RoadWalk(scene, w).find(out);
}

} // namespace waywarden::survey
