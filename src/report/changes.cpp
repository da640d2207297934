#include "report/changes.hpp"

#include "report/walk_index.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace waywarden::report {

namespace {

using survey::Survey;

constexpr double k_step_m = 10; // how finely the walks are laid beside each other
constexpr double k_same_crossing_m = 40;
constexpr double k_same_road_m = 1000; // so far along a road its crossing may be listed elsewhere

/// A text such as `minor_road` in plain words.
std::string in_words(std::string text) {
    std::replace(text.begin(), text.end(), '_', ' ');
    return text;
}

std::string fact_words(const survey::Facts& facts, std::string_view name) {
    const auto value = facts.get(name);
    if (!value) return "";
    if (const auto* flag = std::get_if<bool>(&*value)) return *flag ? "yes" : "no";
    if (const auto* figure = std::get_if<double>(&*value)) return fmt::format("{:g}", *figure);
    return in_words(std::get<std::string>(*value));
}

std::string limit_words(const survey::Facts& facts) {
    const std::string source = facts.text("speed_limit_source");
    return source == "recorded" || source == "zone" ? facts.text("speed_limit") : "";
}

/// What is compared of two stretches, each as words; "" where the map says nothing.
struct Aspect {
    const char* title;
    std::string (*words)(const survey::StretchSurvey&);
};
constexpr std::array<Aspect, 7> k_aspects{{
    {"kind of way",
     [](const survey::StretchSurvey& s) { return in_words(map::to_string(s.reading.access)); }},
    {"right on foot",
     [](const survey::StretchSurvey& s) {
         const std::string right = s.reading.facts.text("right");
         return right == "unknown" ? std::string() : in_words(right);
     }},
    {"state", [](const survey::StretchSurvey& s) { return fact_words(s.reading.facts, "lifecycle"); }},
    {"pavement", [](const survey::StretchSurvey& s) { return fact_words(s.reading.facts, "pavement"); }},
    {"speed limit", [](const survey::StretchSurvey& s) { return limit_words(s.reading.facts); }},
    {"surface", [](const survey::StretchSurvey& s) { return fact_words(s.reading.facts, "surface"); }},
    {"restriction at times",
     [](const survey::StretchSurvey& s) { return fact_words(s.reading.facts, "conditional"); }},
}};

/// A map that says more than before is no change, but for a restriction, which may be new.
bool is_change(const Aspect& aspect, const std::string& was) {
    return !was.empty() || std::string_view(aspect.title) == "restriction at times";
}

bool is_off_path(const survey::StretchSurvey& stretch) {
    return stretch.reading.access == map::Access::open_ground;
}

std::string way_words(const survey::StretchSurvey& stretch) {
    const std::string kind = in_words(map::to_string(stretch.reading.access));
    return stretch.reading.name.empty() ? "a " + kind : fmt::format("{} ({})", stretch.reading.name, kind);
}

/// The walk found a way or lost it: the map shows another way now, or draws it elsewhere.
std::string off_path_difference(const survey::StretchSurvey& was, const survey::StretchSurvey& is) {
    if (is_off_path(was)) return "no way was found along the line here, now " + way_words(is);
    return fmt::format("the line ran along {}, now no way is found along it", way_words(was));
}

std::string difference(const Aspect& aspect, const std::string& was, const std::string& is,
                       const std::string& name) {
    return fmt::format("{}{} was {}, now {}", aspect.title, name.empty() ? "" : " of " + name,
                       was.empty() ? "not recorded" : was, is.empty() ? "is not recorded" : is);
}

/// Calls `use(at_m, position, stretch)` about every k_step_m along the walk.
template <class Use> void each_step(const Survey& walk, Use use) {
    for (const survey::StretchSurvey& stretch : walk.stretches) {
        if (stretch.line.size() < 2) continue;
        std::vector<double> along{0};
        for (std::size_t i = 0; i + 1 < stretch.line.size(); ++i)
            along.push_back(along.back() +
                            geo::distance_m(stretch.line[i].position, stretch.line[i + 1].position));
        const double length_m = std::max(along.back(), 1e-9), metres = stretch.to_m - stretch.from_m;
        const auto steps = std::max(1L, std::lround(metres / k_step_m));
        std::size_t i = 0;
        for (long step = 0; step < steps; ++step) {
            const double share = (static_cast<double>(step) + 0.5) / static_cast<double>(steps);
            while (i + 2 < along.size() && along[i + 1] < share * length_m)
                ++i;
            const double part =
                std::clamp((share * length_m - along[i]) / std::max(along[i + 1] - along[i], 1e-9), 0.0, 1.0);
            const geo::Position a = stretch.line[i].position, b = stretch.line[i + 1].position;
            use(stretch.from_m + share * metres,
                geo::Position{a.lon_deg + part * (b.lon_deg - a.lon_deg),
                              a.lat_deg + part * (b.lat_deg - a.lat_deg)},
                stretch);
        }
    }
}

/// Runs of steps that say the same.
class Runs {
  public:
    void add(double at_m, geo::Position position, const std::string& text) {
        if (!m_open.empty() && m_open.back().text == text && at_m - m_open.back().to_m < 3 * k_step_m) {
            m_open.back().to_m = at_m + k_step_m / 2;
            return;
        }
        m_open.push_back({at_m - k_step_m / 2, at_m + k_step_m / 2, position, text});
    }
    void take(Differences& out, double least_m = 0) const {
        for (const Change& one : m_open) {
            if (one.to_m - one.from_m < least_m) continue;
            (one.to_m - one.from_m >= k_change_worth_telling_m ? out.changes : out.lesser).push_back(one);
        }
    }
    void take_as_lesser(Differences& out) const {
        out.lesser.insert(out.lesser.end(), m_open.begin(), m_open.end());
    }

  private:
    std::vector<Change> m_open;
};

void compare_stretches(const Survey& now, const WalkIndex& index, Differences& out) {
    std::array<Runs, k_aspects.size()> runs, records;
    Runs moved;
    each_step(now, [&](double at_m, geo::Position p, const survey::StretchSurvey& is) {
        const survey::StretchSurvey* was = index.at(p, at_m / std::max(now.length_m, 1.0));
        if (!was) {
            moved.add(at_m, p,
                      "the walk did not come here before: its line was drawn otherwise, or the map was");
            return;
        }
        if (is_off_path(*was) != is_off_path(is)) {
            runs.front().add(at_m, p, off_path_difference(*was, is));
            return;
        }
        for (std::size_t i = 0; i < k_aspects.size(); ++i) {
            const std::string a = k_aspects[i].words(*was), b = k_aspects[i].words(is);
            if (a != b)
                (is_change(k_aspects[i], a) ? runs : records)[i].add(
                    at_m, p, difference(k_aspects[i], a, b, is.reading.name));
        }
    });
    moved.take(out);
    for (std::size_t i = 0; i < runs.size(); ++i) // one step of another kind: the walks turn off metres apart
        runs[i].take(out, i == 0 ? 1.5 * k_step_m : 0);
    for (const Runs& of_aspect : records)
        of_aspect.take_as_lesser(out);
}

std::string crossing_name(const survey::Crossing& one) {
    return fmt::format("{} {}", survey::to_string(one.of),
                       one.name.empty() ? map::to_string(one.osm) : one.name);
}

/// Whether the walk runs along the road where it crosses it: the crossing is then listed at one place of all
/// the walk along it.
bool is_walked_along(const survey::Crossing& one, const Survey& walk) {
    return one.of == survey::CrossingOf::road && !one.name.empty() &&
           std::any_of(walk.stretches.begin(), walk.stretches.end(), [&](const survey::StretchSurvey& s) {
               return s.from_m <= one.at_m && one.at_m <= s.to_m && s.reading.name == one.name;
           });
}

/// The nearest crossing of the same kind about here; of a road walked along one of the same road. Null where
/// there is none.
const survey::Crossing* counterpart(const survey::Crossing& one, const Survey& walk,
                                    const Survey& other_walk) {
    const bool along = is_walked_along(one, walk);
    const survey::Crossing* best = nullptr;
    double best_m = along ? k_same_road_m : k_same_crossing_m;
    for (const survey::Crossing& other : other_walk.crossings) {
        if (other.of != one.of) continue;
        const double metres = geo::distance_m(one.position, other.position);
        const bool same =
            metres < k_same_crossing_m || (other.name == one.name && is_walked_along(other, other_walk));
        if (same && metres < best_m) best = &other, best_m = metres;
    }
    return best;
}

std::string means_words(survey::Means means) {
    return means == survey::Means::none ? "no way over in the map" : survey::to_string(means);
}

/// What is said otherwise of a crossing that was there and is there, "" where nothing is.
std::string crossing_difference(const survey::Crossing& was, const survey::Crossing& is) {
    if (was.means != is.means)
        return fmt::format("{}: was {}, now {}", crossing_name(is), means_words(was.means),
                           means_words(is.means));
    const std::string limit_was = limit_words(was.facts), limit_is = limit_words(is.facts);
    if (limit_was == limit_is) return "";
    return fmt::format("{}: speed limit was {}, now {}", crossing_name(is),
                       limit_was.empty() ? "not recorded" : limit_was,
                       limit_is.empty() ? "not recorded" : limit_is);
}

/// Both walks, to find the stretch of either at one place.
struct Walks {
    const Survey &now, &before;
    const WalkIndex &new_walk, &old_walk;

    double share_now(double at_m) const { return at_m / std::max(now.length_m, 1.0); }
    double share_before(double at_m) const { return at_m / std::max(before.length_m, 1.0); }

    /// Whether one walk is off any path where the other runs along a way: that is told of the stretch, and
    /// what the line then crosses or runs along follows from it.
    bool found_or_lost(geo::Position place, double share) const {
        const auto *was = old_walk.at(place, share), *is = new_walk.at(place, share);
        return was && is && is_off_path(*was) != is_off_path(*is);
    }
};

void compare_crossings(const Walks& walks, Differences& out) {
    const auto follows = [&](const survey::Crossing& one, double share) {
        return one.of == survey::CrossingOf::road && walks.found_or_lost(one.position, share);
    };
    for (const survey::Crossing& is : walks.now.crossings) {
        const double share = walks.share_now(is.at_m);
        if (follows(is, share)) continue;
        const survey::Crossing* was = counterpart(is, walks.now, walks.before);
        std::string text;
        if (was)
            text = crossing_difference(*was, is);
        else if (walks.old_walk.at(is.position, share))
            text = "newly crossed, as the map has it: " + crossing_name(is);
        const bool recorded = was && was->means == is.means && limit_words(was->facts).empty();
        if (text.empty()) continue;
        (recorded ? out.lesser : out.changes).push_back({is.at_m, is.at_m, is.position, text});
        if (!was || geo::distance_m(was->position, is.position) < k_same_crossing_m) continue;
        const double was_at_m = walks.share_before(was->at_m) * walks.now.length_m;
        out.lesser.push_back({was_at_m, was_at_m, was->position, text});
    }
    for (const survey::Crossing& was : walks.before.crossings) {
        const double share = walks.share_before(was.at_m), at_m = share * walks.now.length_m;
        if (follows(was, share) || counterpart(was, walks.before, walks.now)) continue;
        if (walks.new_walk.at(was.position, share))
            out.changes.push_back(
                {at_m, at_m, was.position, "no longer crossed, as the map has it: " + crossing_name(was)});
    }
}

bool is_barrier(const survey::Spot& spot) {
    const std::string kind = spot.facts.text("kind");
    return (kind == "gate" || kind == "stile" || kind == "barrier") && spot.from_m == spot.to_m;
}

std::string barrier_words(const survey::Spot& spot) {
    const std::string kind = spot.facts.text("barrier_kind");
    return in_words(kind.empty() ? spot.facts.text("kind") : kind) +
           (spot.facts.flag("locked").value_or(false) ? ", locked" : "");
}

/// Ground that is told of where the walk enters it.
bool is_area(const survey::Spot& spot) {
    static constexpr std::array<std::string_view, 18> k_kinds{
        "military_area", "danger_area", "tidal_area",      "wetland",  "farmyard",          "golf_course",
        "airfield",      "runway",      "school",          "quarry",   "construction_area", "private_area",
        "glacier",       "scree",       "industrial_area", "cemetery", "sports_field",      "garden"};
    return spot.facts.flag("within").value_or(false) &&
           std::find(k_kinds.begin(), k_kinds.end(), spot.facts.text("kind")) != k_kinds.end();
}

std::string spot_words(const survey::Spot& spot) {
    if (is_barrier(spot)) return barrier_words(spot);
    const std::string kind = in_words(spot.facts.text("kind"));
    return spot.name.empty() ? kind : fmt::format("{} {}", kind, spot.name);
}

/// The nearest barrier for a barrier; for an area one of its kind about the same piece of the walk. `scale`
/// leads from metres of the others to metres of this one.
const survey::Spot* counterpart(const survey::Spot& one, const std::vector<survey::Spot>& others,
                                double scale) {
    const survey::Spot* best = nullptr;
    double best_m = k_same_crossing_m;
    for (const survey::Spot& other : others) {
        if (is_barrier(one) ? !is_barrier(other)
                            : !is_area(other) || other.facts.text("kind") != one.facts.text("kind"))
            continue;
        const double metres = geo::distance_m(one.position, other.position);
        if (metres < best_m) best = &other, best_m = metres;
        const bool same_piece = !is_barrier(one) && other.from_m * scale < one.to_m + k_same_crossing_m &&
                                other.to_m * scale > one.from_m - k_same_crossing_m;
        if (!best && same_piece) best = &other;
    }
    return best;
}

void compare_spots(const Walks& walks, std::vector<Change>& out) {
    const auto told = [](const survey::Spot& spot) { return is_barrier(spot) || is_area(spot); };
    const double scale = walks.now.length_m / std::max(walks.before.length_m, 1.0);
    for (const survey::Spot& is : walks.now.spots) {
        if (!told(is)) continue;
        const survey::Spot* was = counterpart(is, walks.before.spots, scale);
        if (!was && walks.old_walk.at(is.position, walks.share_now(is.from_m)))
            out.push_back({is.from_m, is.to_m, is.position, "newly shown: " + spot_words(is)});
        else if (was && is_barrier(is) && barrier_words(*was) != barrier_words(is))
            out.push_back({is.from_m, is.to_m, is.position,
                           fmt::format("was {}, now {}", barrier_words(*was), barrier_words(is))});
    }
    for (const survey::Spot& was : walks.before.spots) {
        if (!told(was) || counterpart(was, walks.now.spots, 1 / scale)) continue;
        if (walks.new_walk.at(was.position, walks.share_before(was.from_m)))
            out.push_back({was.from_m * scale, was.to_m * scale, was.position,
                           "gone from the map: " + spot_words(was)});
    }
}

} // namespace

Differences changes_of(const Survey& now, const Survey& before) {
    const WalkIndex old_walk(before), new_walk(now);
    Differences out;
    compare_stretches(now, old_walk, out);
    const Walks walks{now, before, new_walk, old_walk};
    compare_crossings(walks, out);
    compare_spots(walks, out.changes);
    for (std::vector<Change>* all : {&out.changes, &out.lesser})
        std::stable_sort(all->begin(), all->end(),
                         [](const Change& a, const Change& b) { return a.from_m < b.from_m; });
    return out;
}

} // namespace waywarden::report
