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
bool tells(const Aspect& aspect, const std::string& was, const std::string& is) {
    if (was == is) return false;
    return !was.empty() || std::string_view(aspect.title) == "restriction at times";
}

std::string difference(const Aspect& aspect, const std::string& was, const std::string& is,
                       const std::string& name) {
    return fmt::format("{}{} was {}, now {}", aspect.title, name.empty() ? "" : " of " + name,
                       was.empty() ? "none" : was, is.empty() ? "is not recorded" : is);
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
    void take(std::vector<Change>& out) { std::move(m_open.begin(), m_open.end(), std::back_inserter(out)); }

  private:
    std::vector<Change> m_open;
};

void compare_stretches(const Survey& now, const WalkIndex& index, std::vector<Change>& out) {
    std::array<Runs, k_aspects.size()> runs;
    Runs moved;
    each_step(now, [&](double at_m, geo::Position p, const survey::StretchSurvey& is) {
        const survey::StretchSurvey* was = index.at(p, at_m / std::max(now.length_m, 1.0));
        if (!was) {
            moved.add(at_m, p,
                      "the walk did not come here before: its line was drawn otherwise, or the map was");
            return;
        }
        for (std::size_t i = 0; i < k_aspects.size(); ++i) {
            const std::string a = k_aspects[i].words(*was), b = k_aspects[i].words(is);
            if (tells(k_aspects[i], a, b))
                runs[i].add(at_m, p, difference(k_aspects[i], a, b, is.reading.name));
        }
    });
    moved.take(out);
    for (Runs& of_aspect : runs)
        of_aspect.take(out);
}

std::string crossing_name(const survey::Crossing& one) {
    return fmt::format("{} {}", survey::to_string(one.of),
                       one.name.empty() ? map::to_string(one.osm) : one.name);
}

/// The nearest crossing of the same kind, null where there is none about here.
const survey::Crossing* counterpart(const survey::Crossing& one,
                                    const std::vector<survey::Crossing>& others) {
    const survey::Crossing* best = nullptr;
    double best_m = k_same_crossing_m;
    for (const survey::Crossing& other : others) {
        if (other.of != one.of) continue;
        const double metres = geo::distance_m(one.position, other.position);
        if (metres < best_m) best = &other, best_m = metres;
    }
    return best;
}

void compare_crossings(const Survey& now, const Survey& before, const WalkIndex& old_walk,
                       const WalkIndex& new_walk, std::vector<Change>& out) {
    using survey::to_string;
    for (const survey::Crossing& is : now.crossings) {
        const double share = is.at_m / std::max(now.length_m, 1.0);
        const survey::Crossing* was = counterpart(is, before.crossings);
        if (!was && old_walk.at(is.position, share))
            out.push_back({is.at_m, is.at_m, is.position, "newly crossed: " + crossing_name(is)});
        else if (was && was->means != is.means)
            out.push_back({is.at_m, is.at_m, is.position,
                           fmt::format("{} was crossed by {}, now by {}", crossing_name(is),
                                       to_string(was->means), to_string(is.means))});
        else if (was && limit_words(was->facts) != limit_words(is.facts) && !limit_words(was->facts).empty())
            out.push_back(
                {is.at_m, is.at_m, is.position,
                 fmt::format("{}: speed limit was {}, now {}", crossing_name(is), limit_words(was->facts),
                             limit_words(is.facts).empty() ? "not recorded" : limit_words(is.facts))});
    }
    for (const survey::Crossing& was : before.crossings) {
        const double share = was.at_m / std::max(before.length_m, 1.0);
        if (!counterpart(was, now.crossings) && new_walk.at(was.position, share))
            out.push_back({share * now.length_m, share * now.length_m, was.position,
                           "no longer crossed, as the map has it: " + crossing_name(was)});
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

void compare_barriers(const Survey& now, const Survey& before, const WalkIndex& old_walk,
                      const WalkIndex& new_walk, std::vector<Change>& out) {
    const auto nearest = [](const survey::Spot& one, const std::vector<survey::Spot>& others) {
        const survey::Spot* best = nullptr;
        double best_m = k_same_crossing_m;
        for (const survey::Spot& other : others) {
            const double metres = geo::distance_m(one.position, other.position);
            if (is_barrier(other) && metres < best_m) best = &other, best_m = metres;
        }
        return best;
    };
    for (const survey::Spot& is : now.spots) {
        if (!is_barrier(is)) continue;
        const survey::Spot* was = nearest(is, before.spots);
        if (!was && old_walk.at(is.position, is.from_m / std::max(now.length_m, 1.0)))
            out.push_back({is.from_m, is.from_m, is.position, "new: " + barrier_words(is)});
        else if (was && barrier_words(*was) != barrier_words(is))
            out.push_back({is.from_m, is.from_m, is.position,
                           fmt::format("was {}, now {}", barrier_words(*was), barrier_words(is))});
    }
    for (const survey::Spot& was : before.spots) {
        if (!is_barrier(was) || nearest(was, now.spots)) continue;
        const double share = was.from_m / std::max(before.length_m, 1.0);
        if (new_walk.at(was.position, share))
            out.push_back({share * now.length_m, share * now.length_m, was.position,
                           "gone from the map: " + barrier_words(was)});
    }
}

} // namespace

std::vector<Change> changes_of(const Survey& now, const Survey& before) {
    const WalkIndex old_walk(before), new_walk(now);
    std::vector<Change> out;
    compare_stretches(now, old_walk, out);
    compare_crossings(now, before, old_walk, new_walk, out);
    compare_barriers(now, before, old_walk, new_walk, out);
    std::stable_sort(out.begin(), out.end(),
                     [](const Change& a, const Change& b) { return a.from_m < b.from_m; });
    return out;
}

bool is_on_walk(const Survey& walk, geo::Position place) {
    return WalkIndex(walk).at(place, 0) != nullptr;
}

} // namespace waywarden::report
