#include "geo/grid_reference.hpp"
#include "report/marshals_words.hpp"
#include "report/words.hpp"
#include "survey/pavements.hpp"

#include <fmt/format.h>

#include <algorithm>

/// Roads walked along, and places where people queue.
namespace waywarden::report {

namespace {

using survey::Facts;
using survey::StretchSurvey;

constexpr double k_crumb_m = 20; ///< shorter pieces of road belong to a crossing or a corner
constexpr double k_queue_advised_min = 3, k_queue_needed_min = 10;

bool is_bare_road(const StretchSurvey& stretch) {
    const auto access = stretch.reading.access;
    if (access != map::Access::minor_road && access != map::Access::major_road &&
        access != map::Access::motorway)
        return false;
    return !survey::has_pavement(stretch.reading.facts);
}

bool is_main(const std::string& highway) {
    return highway.starts_with("trunk") || highway.starts_with("primary") || highway.starts_with("secondary");
}

bool is_quiet(const std::string& highway) {
    return highway == "service" || highway == "living_street" || highway == "pedestrian" ||
           highway == "track";
}

/// Pieces of one road that follow one another.
struct RoadWalk {
    std::vector<const StretchSurvey*> pieces;
    double from_m() const { return pieces.front()->from_m; }
    double to_m() const { return pieces.back()->to_m; }
};

std::vector<RoadWalk> road_walks(const survey::Survey& survey) {
    std::vector<RoadWalk> out;
    const StretchSurvey* before = nullptr;
    for (const StretchSurvey& one : survey.stretches) {
        if (!is_bare_road(one)) continue;
        const bool goes_on = before && before->to_m == one.from_m &&
                             before->reading.name == one.reading.name &&
                             before->reading.access == one.reading.access &&
                             limit_words(before->reading.facts) == limit_words(one.reading.facts);
        if (!goes_on) out.emplace_back();
        out.back().pieces.push_back(&one);
        before = &one;
    }
    std::erase_if(out, [](const RoadWalk& walk) { return walk.to_m() - walk.from_m() < k_crumb_m; });
    return out;
}

/// The piece with the least sight, and in words whether a driver sees them in time.
std::string sight_along_words(const RoadWalk& walk, Post& post) {
    const Facts* worst = nullptr;
    bool unknown = false;
    for (const StretchSurvey* piece : walk.pieces) {
        const Facts& facts = piece->reading.facts;
        const auto high_m = facts.number("sight_high_m");
        unknown = unknown || !high_m || facts.text("sight_grade", "unknown") == "unknown";
        if (high_m && (!worst || *high_m < *worst->number("sight_high_m"))) worst = &facts;
    }
    if (!worst) return "How far a driver sees cannot be told from the map";
    post.sight_low_m = worst->number("sight_low_m");
    post.sight_high_m = worst->number("sight_high_m");
    post.sight_need_m = worst->number("stopping_sight_m");
    const auto at_m = worst->number("sight_least_at_m");
    std::string out = fmt::format("Sight at its least {} to {:.0f} m",
                                  post.sight_low_m ? fmt::format("{:.0f}", *post.sight_low_m) : "not known",
                                  *post.sight_high_m);
    if (at_m) out += fmt::format(" at km {}", km_words(*at_m));
    if (post.sight_need_m)
        out +=
            fmt::format("; a driver at {} stops in {:.0f} m", worst->text("sight_speed"), *post.sight_need_m);
    return out + (unknown ? "; on some of it cannot be told" : "");
}

Post road_post(const RoadWalk& walk, const survey::Survey& survey) {
    const StretchSurvey& first = *walk.pieces.front();
    const Facts& facts = first.reading.facts;
    const std::string highway = facts.text("highway");
    Post out;
    out.kind = "along_road";
    out.at_m = walk.from_m();
    out.to_m = walk.to_m();
    if (!first.line.empty()) out.position = first.line.front().position;
    out.osm = first.reading.osm ? map::to_string(*first.reading.osm) : "";
    out.what = fmt::format("Along {}{} for {}", first.reading.name.empty() ? "a " : "",
                           way_words(first.reading.name, first.reading.access, facts),
                           distance_words(out.to_m - out.at_m));
    out.limit = limit_words(facts);
    const std::string pavement = facts.text("pavement");
    out.facility = pavement.empty()         ? "Pavement not recorded"
                   : pavement == "separate" ? "Pavement said to be a way of its own; none found"
                                            : "No pavement, as recorded";
    out.sight = sight_along_words(walk, out);
    if (first.reading.access == map::Access::motorway) {
        out.call = Call::do_not_cross;
        out.why = "a motorway";
        return out;
    }
    const bool known = facts.number("speed_limit_kmh").has_value();
    const bool hard = is_main(highway) || !is_slow(facts);
    out.call = hard && !is_quiet(highway) ? Call::needed : Call::advised;
    out.why = is_main(highway) ? "a main road without a recorded pavement"
              : is_quiet(highway)
                  ? "a service road or street for walkers; vehicles come slowly, but they come"
              : !known          ? "the limit is not known, so it counts as fast"
              : !is_slow(facts) ? "the limit is above 50 km/h (30 mph)"
                                : "a slow road without a recorded pavement";
    out.stand = "One ahead of the party and one behind, seen from afar, on the side they walk on";
    std::string bends;
    for (const survey::Spot& spot : survey.spots)
        if (spot.facts.text("kind") == "blind_bend" && spot.from_m < out.to_m && spot.to_m > out.at_m)
            bends += fmt::format("{}{}", bends.empty() ? "" : ", ",
                                 km_words(spot.facts.number("sight_least_at_m").value_or(spot.from_m)));
    if (!bends.empty())
        out.stand += fmt::format(
            ". Bends where a driver cannot stop in time: km {}; one off the road before each", bends);
    return out;
}

Call call_for_queue(std::optional<double> queue_min) {
    if (!queue_min) return Call::look_first;
    return *queue_min >= k_queue_needed_min    ? Call::needed
           : *queue_min >= k_queue_advised_min ? Call::advised
                                               : Call::not_called_for;
}

void fill_queue(const Facts& facts, const Assessment& assessment, Post& post) {
    post.queue_min = facts.number("queue_min");
    post.call = call_for_queue(post.queue_min);
    if (!post.queue_min) {
        post.time = "How long the party queues is not known";
        post.why = assessment.walkers ? "how long one walker takes at such a place is not known"
                                      : "nobody said how many walk";
        return;
    }
    post.time = fmt::format("The last of {} through after {}, if all come at once",
                            assessment.walkers.value_or(0), minutes_words(*post.queue_min));
    post.why = post.call == Call::not_called_for ? "people hardly wait" : "people wait here";
    if (post.call >= Call::advised)
        post.stand = "One at it, who keeps the line moving, helps who needs it and leaves it as it was found";
}

Post barrier_post(const survey::Spot& spot, const Assessment& assessment) {
    const Facts& facts = spot.facts;
    const std::string kind = facts.text("barrier_kind");
    Post out;
    out.kind = facts.text("kind", "barrier");
    out.at_m = out.to_m = spot.from_m;
    out.position = spot.position;
    out.osm = spot.evidence.empty() ? "" : map::to_string(spot.evidence.front().osm);
    out.what = spaced(kind.empty() ? "barrier of unknown kind" : kind) +
               (spot.name.empty() ? "" : fmt::format(" “{}”", spot.name));
    const auto locked = facts.flag("locked");
    out.facility = !locked   ? "Whether it is locked is not recorded"
                   : *locked ? "Recorded as locked"
                             : "Recorded as not locked";
    fill_queue(facts, assessment, out);
    const std::string right = facts.text("right");
    if (locked.value_or(false) || right == "forbidden" || right == "restricted" ||
        !facts.flag("barrier_passable").value_or(false)) {
        out.call = Call::look_first;
        out.why = locked.value_or(false) ? "recorded as locked: have it opened, or go round"
                                         : "walkers may not get through, by its kind or by its access tags";
    }
    return out;
}

/// Steps, ladders, fords and narrow ways, pieces that follow one another as one.
void add_narrow(const Assessed& route, const Assessment& assessment, std::vector<Post>& out) {
    const StretchSurvey* before = nullptr;
    for (const StretchSurvey& one : route.survey.stretches) {
        const Facts& facts = one.reading.facts;
        const auto width_m = facts.number("width_m");
        const bool steps = facts.flag("steps").value_or(false), ladder = facts.flag("ladder").value_or(false);
        if (!facts.number("queue_min") && !steps && !ladder) continue;
        const bool goes_on =
            before && before->to_m == one.from_m && !out.empty() && out.back().kind == "narrow";
        before = &one;
        if (goes_on && facts.number("queue_min").value_or(0) <= out.back().queue_min.value_or(0)) {
            out.back().to_m = one.to_m;
            continue;
        }
        const double from_m = goes_on ? out.back().at_m : one.from_m;
        if (goes_on) out.pop_back();
        Post post;
        post.kind = "narrow";
        post.at_m = from_m;
        post.to_m = one.to_m;
        if (!one.line.empty()) post.position = one.line.front().position;
        post.osm = one.reading.osm ? map::to_string(*one.reading.osm) : "";
        post.what = ladder                               ? "ladder or rungs"
                    : steps                              ? "steps"
                    : facts.flag("ford").value_or(false) ? "through water"
                                                         : "narrow way";
        if (!one.reading.name.empty()) post.what += ", " + one.reading.name;
        post.facility = width_m ? fmt::format("{:.1f} m wide, as recorded", *width_m) : "Width not recorded";
        fill_queue(facts, assessment, post);
        out.push_back(std::move(post));
    }
}

} // namespace

void add_road_posts(const Assessed& route, const Assessment&, std::vector<Post>& out) {
    for (const RoadWalk& walk : road_walks(route.survey))
        out.push_back(road_post(walk, route.survey));
}

void add_queue_posts(const Assessed& route, const Assessment& assessment, std::vector<Post>& out) {
    std::vector<Post> narrow;
    add_narrow(route, assessment, narrow);
    out.insert(out.end(), narrow.begin(), narrow.end());
    for (const survey::Spot& spot : route.survey.spots) {
        const std::string kind = spot.facts.text("kind");
        if (kind == "stile" || kind == "gate" || kind == "barrier")
            out.push_back(barrier_post(spot, assessment));
    }
}

} // namespace waywarden::report
