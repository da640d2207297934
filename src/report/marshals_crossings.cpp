#include "report/marshals_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

/// What the walk crosses, as the organiser has to see it. One post a place: of several carriageways or tracks
/// that are one event to the walkers the worst is told.
namespace waywarden::report {

namespace {

using survey::Crossing;
using survey::CrossingOf;
using survey::Facts;
using survey::Means;

bool is_apart(Means means) {
    return means == Means::bridge || means == Means::tunnel;
}

std::string means_words(const Crossing& crossing) {
    return fmt::format("A {} is recorded", crossing.means == Means::bridge ? "bridge" : "tunnel");
}

bool is_one_of(const std::string& word, std::initializer_list<const char*> words) {
    return std::any_of(words.begin(), words.end(), [&](const char* one) { return word == one; });
}

// --- Roads

std::string facility_words(const Facts& facts) {
    const std::string facility = facts.text("facility");
    const bool island = facts.flag("island").value_or(false);
    std::string out = facility.empty()              ? "not known"
                      : facility == "none_recorded" ? "No crossing for walkers recorded"
                      : facility == "signals"       ? "Signals"
                      : facility == "marked"        ? "Marked crossing"
                      : facility == "zebra"         ? "Zebra crossing"
                      : facility == "unmarked"      ? "Crossing place without markings"
                      : facility == "other"
                          ? "A crossing or signals; what is there for walkers is not recorded"
                          : "";
    if (facility == "island") return "Refuge in the middle";
    return island ? out + ", refuge in the middle" : out;
}

std::string sight_words(const Facts& facts, const Assessment& assessment) {
    const std::string seen = facts.text("sight"), speed = facts.text("sight_speed");
    const auto need_m = facts.number("sight_need_m");
    std::string out = seen.empty() ? "Sight not known" : "Sight " + seen;
    if (!need_m)
        return out + (assessment.group_size ? "; what is needed is not known, for no limit is"
                                            : "; what is needed is not known: nobody said how many walk");
    return out + fmt::format("; {} needs {:.0f} m at {}", group_words(assessment), *need_m, speed);
}

std::string time_words(const Post& post, const Assessment& assessment) {
    if (!post.group_s) return "Time to cross not known: nobody said how many walk";
    std::string out = fmt::format("{:.0f} s for {}", *post.group_s, group_words(assessment));
    if (!post.all_min || !assessment.walkers)
        return out + "; for all of them not known: nobody said how many walk";
    if (*assessment.walkers <= assessment.group_size.value_or(0)) return out;
    return out + fmt::format("; {} for all {}, group after group, without waiting for traffic",
                             minutes_words(*post.all_min), *assessment.walkers);
}

struct Judged {
    Call call = Call::look_first;
    std::string why;
};

Judged judge_slow_road(const std::string& grade, const Assessment& assessment) {
    const bool many = !assessment.walkers || *assessment.walkers > assessment.group_size.value_or(0);
    if (grade == "short") return {Call::needed, "the group cannot see as far as it must"};
    if (grade == "caution") return {Call::advised, "sight is little more than needed, or may be less"};
    if (grade != "good") return {Call::look_first, "how far one sees cannot be told from the map"};
    if (many) return {Call::advised, "sight is enough, but more people come than cross together"};
    return {Call::not_called_for, "the limit is low and sight is enough by the line of the road"};
}

Judged judge_road(const Crossing& crossing, const Assessment& assessment) {
    const Facts& facts = crossing.facts;
    const std::string facility = facts.text("facility"), grade = facts.text("sight_grade", "unknown"),
                      highway = facts.text("highway");
    if (is_apart(crossing.means)) return {Call::not_called_for, means_words(crossing)};
    if (const std::string state = facts.text("lifecycle", "in_use"); state != "in_use")
        return {Call::look_first,
                fmt::format("recorded as {}; see what is there shortly before the day", spaced(state))};
    if (crossing.access == map::Access::motorway) return {Call::do_not_cross, "a motorway"};
    const bool helped = is_one_of(facility, {"signals", "zebra", "marked"});
    if (grade == "below_stopping" && !helped)
        return {Call::do_not_cross, "a driver at the limit cannot stop within what is seen"};
    if (helped && is_slow(facts))
        return {Call::advised,
                fmt::format("a crossing ({}) is recorded; one keeps people back and together", facility)};
    if (!facts.number("speed_limit_kmh"))
        return {Call::needed, "the limit is not known, so it counts as fast"};
    if (!is_slow(facts)) return {Call::needed, "the limit is above 50 km/h (30 mph)"};
    if (grade == "below_stopping")
        return {Call::needed, "a driver at the limit cannot stop within what is seen"};
    if (is_one_of(highway, {"trunk", "primary", "secondary", "trunk_link", "primary_link", "secondary_link"}))
        return {Call::needed, "a main road"};
    return judge_slow_road(grade, assessment);
}

std::string stand_at_road(const Post& post, const Facts& facts, const Assessment& assessment) {
    if (post.call == Call::do_not_cross) return "Nobody: move the crossing";
    if (post.call == Call::not_called_for) return "";
    const std::string most = assessment.group_size
                                 ? fmt::format("no more than {} at a time", *assessment.group_size)
                                 : "a few at a time";
    if (facts.text("facility") == "signals")
        return fmt::format("One on the side walkers come from, off the road, who keeps them back until the "
                           "signal is theirs; {}",
                           most);
    std::string out = post.call == Call::advised
                          ? "One on the side walkers come from, on the verge or pavement"
                          : "One on each side, on the verge or pavement, never in the road";
    out += fmt::format("; they let over {}", most);
    const std::string grade = facts.text("sight_grade", "unknown");
    if (grade == "good" || (grade == "caution" && post.call == Call::advised)) return out;
    return out + ". One more each way along the road, off it, as far as the first can see and hear them, to "
                 "call out what comes";
}

void fill_road(const Crossing& crossing, const Assessment& assessment, Post& post) {
    const Facts& facts = crossing.facts;
    post.kind = "road";
    post.what = way_words(crossing.name, crossing.access, facts);
    if (const double parts = facts.number("carriageways").value_or(1); parts > 1)
        post.what += fmt::format(", {:.0f} carriageways", parts);
    post.limit = limit_words(facts);
    post.facility = is_apart(crossing.means) ? means_words(crossing) : facility_words(facts);
    const Judged judged = judge_road(crossing, assessment);
    post.call = judged.call;
    post.why = judged.why;
    post.stand = stand_at_road(post, facts, assessment);
    if (is_apart(crossing.means)) return;
    post.sight_low_m = facts.number("sight_low_m");
    post.sight_high_m = facts.number("sight_high_m");
    post.sight_need_m = facts.number("sight_need_m");
    post.group_s = facts.number("cross_time_s");
    post.all_min = facts.number("party_cross_min");
    post.sight = sight_words(facts, assessment);
    post.time = time_words(post, assessment);
}

// --- Railways

void fill_rail(const Crossing& crossing, Post& post) {
    const Facts& facts = crossing.facts;
    const std::string protection = facts.text("rail_protection");
    post.kind = "rail";
    post.what = way_words(crossing.name, crossing.access, facts);
    post.facility = is_apart(crossing.means)         ? means_words(crossing)
                    : protection == "barriers"       ? "Level crossing with barriers"
                    : protection == "gates"          ? "Level crossing with gates"
                    : protection == "lights"         ? "Level crossing with lights, no barriers recorded"
                    : protection == "open"           ? "Level crossing recorded as without barriers or lights"
                    : protection == "level_crossing" ? "Level crossing; of what kind is not recorded"
                    : protection == "none_recorded"  ? "No crossing recorded"
                                                     : "not known";
    const bool in_use = facts.flag("railway_in_use").value_or(true);
    if (is_apart(crossing.means)) {
        post.call = Call::not_called_for;
        post.why = means_words(crossing);
        return;
    }
    if (!in_use) {
        post.call = Call::look_first;
        post.why = "recorded as no longer in use; see on the ground that it is so";
        return;
    }
    if (is_one_of(protection, {"", "none_recorded"})) {
        post.call = Call::do_not_cross;
        post.why = "a line in use, and no crossing is recorded";
        post.stand = "Nobody: find the crossing, or ask the railway's operator";
        return;
    }
    post.call = Call::needed;
    post.why = "a railway in use crossed on the level";
    post.stand = "One on each side, outside the gates or behind the line, who keep the party back and in "
                 "small groups; "
                 "nobody starts over once lights, bells or a train are seen or heard. Ask the railway's "
                 "operator beforehand";
}

// --- Water and walls

void fill_water(const Crossing& crossing, Post& post) {
    const Facts& facts = crossing.facts;
    const std::string kind = spaced(facts.text("waterway", "water"));
    const std::string ford = facts.text("ford_kind");
    const bool tidal = facts.flag("tidal").value_or(false) || facts.flag("on_tidal_way").value_or(false);
    post.kind = "water";
    post.what =
        fmt::format("{} ({}{})", crossing.name.empty() ? "water without a name on the map" : crossing.name,
                    kind, tidal ? ", tidal" : "");
    switch (crossing.means) {
    case Means::bridge:
    case Means::tunnel:
        post.facility = means_words(crossing);
        post.call =
            tidal && facts.flag("on_tidal_way").value_or(false) ? Call::look_first : Call::not_called_for;
        post.why = post.facility + "; its width and state are not known";
        return;
    case Means::culvert:
        post.facility = "The water runs in a pipe under the way";
        post.call = Call::not_called_for;
        post.why = post.facility;
        return;
    case Means::ford:
    case Means::ferry:
        post.facility = crossing.means == Means::ferry ? "ferry" : spaced(ford.empty() ? "ford" : ford);
        post.call = Call::needed;
        post.why = "people go through water or wait for a boat";
        post.stand =
            "One on each bank; settle beforehand who says that the water is too high, and the way round";
        return;
    case Means::level:
    case Means::none:
        break;
    }
    post.facility = "No way over recorded";
    post.call = Call::look_first;
    post.why = "the map may lack a bridge; nobody is sent here before somebody has looked";
    post.stand = "Nobody wades: have it looked at, or plan round it";
}

void fill_barrier(const Crossing& crossing, Post& post) {
    const Facts& facts = crossing.facts;
    post.kind = "barrier";
    post.what = spaced(facts.text("barrier_kind", "barrier"));
    const bool way_through = crossing.means == Means::level;
    post.facility = way_through ? "A gate or stile is recorded within 15 m" : "No way through recorded";
    post.call = Call::look_first;
    post.why = way_through ? "the line does not lead to it" : "the line cuts it; see how people get through";
}

Post post_of(const Crossing& crossing, const Assessment& assessment) {
    Post out;
    out.at_m = out.to_m = crossing.at_m;
    out.position = crossing.position;
    out.osm = map::to_string(crossing.osm);
    switch (crossing.of) {
    case CrossingOf::road:
        fill_road(crossing, assessment, out);
        break;
    case CrossingOf::rail:
        fill_rail(crossing, out);
        break;
    case CrossingOf::water:
        fill_water(crossing, out);
        break;
    case CrossingOf::barrier:
        fill_barrier(crossing, out);
        break;
    }
    return out;
}

/// Of two entries of one place the one that asks for more; of equals the one with less sight.
bool is_worse(const Post& a, const Post& b) {
    if (a.call != b.call) return a.call > b.call;
    return a.sight_high_m.value_or(0) < b.sight_high_m.value_or(0);
}

} // namespace

void add_crossing_posts(const Assessed& route, const Assessment& assessment, std::vector<Post>& out) {
    std::map<int, Post> by_place;
    for (const Crossing& crossing : route.survey.crossings) {
        Post post = post_of(crossing, assessment);
        const auto [at, fresh] = by_place.emplace(crossing.place, post);
        if (fresh) continue;
        const double from_m = std::min(at->second.at_m, post.at_m),
                     to_m = std::max(at->second.to_m, post.to_m);
        if (is_worse(post, at->second)) at->second = std::move(post);
        at->second.at_m = from_m;
        at->second.to_m = to_m;
    }
    for (auto& [place, post] : by_place)
        out.push_back(std::move(post));
}

} // namespace waywarden::report
