#include "survey/places.hpp"

#include "survey/way_facts.hpp"

#include <algorithm>
#include <numeric>

namespace waywarden::survey {

namespace {

/// Carriageways of one road lie up to 50 m apart; a little more along a slanting path.
constexpr double k_dual_m = 60;
constexpr double k_tracks_m = 40;
constexpr double k_braids_m = 40;
constexpr double k_same_name_water_m = 100;
constexpr double k_beside_within_m = 300;
constexpr double k_beside_mean_m = 10;

class Gatherer {
  public:
    Gatherer(const Scene& scene, const std::vector<Hit>& hits) : m_scene(scene), m_hits(hits) {
        m_leader.resize(hits.size());
        std::iota(m_leader.begin(), m_leader.end(), std::size_t{0});
        m_pair_count.assign(hits.size(), 1);
    }

    Places gather() {
        for (std::size_t i = 0; i < m_hits.size(); ++i)
            for (std::size_t k = i + 1; k < m_hits.size() && m_hits[k].walk == m_hits[i].walk &&
                                        m_hits[k].at_m - m_hits[i].at_m <= k_beside_within_m;
                 ++k)
                if (are_one(m_hits[i], m_hits[k])) join(i, k);
        gather_beside();
        Places out{std::vector<int>(m_hits.size(), 0), m_pair_count};
        std::vector<int> of_leader(m_hits.size(), 0);
        int last = 0;
        for (std::size_t i = 0; i < m_hits.size(); ++i) {
            int& number = of_leader[leader(i)];
            if (number == 0) number = ++last;
            out.number[i] = number;
        }
        return out;
    }

  private:
    std::size_t leader(std::size_t i) {
        while (m_leader[i] != i)
            i = m_leader[i] = m_leader[m_leader[i]];
        return i;
    }
    void join(std::size_t a, std::size_t b) {
        const std::size_t x = leader(a), y = leader(b);
        m_leader[std::max(x, y)] = std::min(x, y);
    }

    const map::Tags& tags(const Hit& hit) const { return object_of(m_scene, hit).tags; }

    bool are_one(const Hit& a, const Hit& b) const {
        if (a.of != b.of) return false;
        const double apart_m = geo::length_m(b.at - a.at);
        switch (a.of) {
        case CrossingOf::road:
            return one_road(a, b, apart_m);
        case CrossingOf::rail:
            return a.way != b.way && apart_m <= k_tracks_m;
        case CrossingOf::water:
            return one_water(a, b, apart_m);
        case CrossingOf::barrier:
            return a.way != b.way && apart_m <= 5; // a fence along a hedge
        }
        return false;
    }

    bool one_road(const Hit& a, const Hit& b, double apart_m) const {
        if (apart_m > k_dual_m) return false;
        const auto &x = tags(a), &y = tags(b);
        const auto class_x = map::highway_class(x), class_y = map::highway_class(y);
        const auto is_slip = [](std::string_view c) {
            return c.size() > 5 && c.substr(c.size() - 5) == "_link";
        };
        const auto is_ring = [](const map::Tags& t) {
            return t.is("junction", "roundabout") || t.is("junction", "circular");
        };
        if (is_ring(x) && is_ring(y)) return share_a_node(a, b);
        if (a.way == b.way) return false;
        if (is_ring(x) || is_ring(y)) return is_one_way(x) && is_one_way(y); // an arm split around its island
        if (is_slip(class_x) || is_slip(class_y))
            return is_slip(class_x) != is_slip(class_y) || class_x == class_y;
        if (!is_one_way(x) || !is_one_way(y)) return false;
        for (const auto* key : {"ref", "name"})
            if (x.has(key) && y.has(key)) return x.get(key) == y.get(key);
        return class_x == class_y;
    }
    static bool is_one_way(const map::Tags& t) {
        return t.is("oneway", "yes") || t.is("oneway", "-1") || t.is("junction", "roundabout") ||
               map::highway_class(t) == "motorway";
    }
    bool share_a_node(const Hit& a, const Hit& b) const {
        const auto &x = m_scene.way(*a.way).nodes, &y = m_scene.way(*b.way).nodes;
        return std::any_of(x.begin(), x.end(),
                           [&](map::NodeIndex n) { return std::find(y.begin(), y.end(), n) != y.end(); });
    }

    bool one_water(const Hit& a, const Hit& b, double apart_m) const {
        const bool overlap = a.from_m <= b.to_m && b.from_m <= a.to_m && (a.area || b.area);
        if (overlap && (a.how == Hit::How::area || b.how == Hit::How::area))
            return true; // an area and what lies in it
        if (a.way == b.way && a.area == b.area) return false;
        const std::string name = name_of(tags(a));
        const bool named = !name.empty() && name == name_of(tags(b));
        return apart_m <= (named ? k_same_name_water_m : k_braids_m) && (named || both_lines_join(a, b));
    }
    bool both_lines_join(const Hit& a, const Hit& b) const { return a.way && b.way && share_a_node(a, b); }

    /// Three or more cuts of one pair of ways within 300 m, with less than 10 m between the two on average.
    void gather_beside() {
        for (std::size_t i = 0; i < m_hits.size(); ++i) {
            if (m_hits[i].how != Hit::How::cut || m_pair_count[i] > 1) continue;
            std::vector<std::size_t> run{i};
            for (std::size_t k = i + 1; k < m_hits.size() && m_hits[k].walk == m_hits[i].walk &&
                                        m_hits[k].at_m - m_hits[run.back()].at_m <= k_beside_within_m;
                 ++k)
                if (m_hits[k].way == m_hits[i].way && m_hits[k].walked == m_hits[i].walked &&
                    m_hits[k].how == Hit::How::cut)
                    run.push_back(k);
            if (run.size() < 3 || mean_distance_m(m_hits[run.front()], m_hits[run.back()]) > k_beside_mean_m)
                continue;
            for (const std::size_t k : run) {
                join(run.front(), k);
                m_pair_count[k] = static_cast<int>(run.size());
            }
        }
    }

    double mean_distance_m(const Hit& first, const Hit& last) const {
        const Walk& walk = m_scene.walks()[first.walk];
        const auto& nodes = m_scene.way(*first.way).nodes;
        double sum_m = 0;
        int count = 0;
        const StepRange steps = steps_between(walk, first.at_m, last.at_m);
        for (std::size_t i = steps.first; i < steps.end; ++i) {
            const WalkPoint &a = walk.points[i], &b = walk.points[i + 1];
            if (b.at_m <= first.at_m || a.at_m >= last.at_m) continue;
            const geo::Metres2 p = 0.5 * (a.at + b.at);
            double best_m = 1e9;
            for (std::size_t n = 0; n + 1 < nodes.size(); ++n)
                best_m = std::min(best_m, geo::nearest_on_segment(p, m_scene.node_at(nodes[n]),
                                                                  m_scene.node_at(nodes[n + 1]))
                                              .distance_m);
            sum_m += best_m;
            ++count;
        }
        return count > 0 ? sum_m / count : 0;
    }

    const Scene& m_scene;
    const std::vector<Hit>& m_hits;
    std::vector<std::size_t> m_leader;
    std::vector<int> m_pair_count;
};

} // namespace

Places gather_places(const Scene& scene, const std::vector<Hit>& hits) {
    return Gatherer(scene, hits).gather();
}

} // namespace waywarden::survey
