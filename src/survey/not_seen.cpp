#include "survey/scene.hpp"
#include "survey/spots.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace waywarden::survey {

namespace {

struct Count {
    std::size_t all = 0, with = 0;
};

/// What ways and nodes near the route carry.
struct Nearby {
    Count pavement, speed, right, grade;
    bool lit = false, surface = false, water = false, barrier = false, cliff = false, any_way = false;
    bool crossing = false, gate = false;
};

bool has_pavement(const map::Tags& tags) {
    return std::any_of(tags.pairs().begin(), tags.pairs().end(), [](const auto& tag) {
        return tag.first.rfind("sidewalk", 0) == 0 || tag.first == "pavement";
    });
}

bool has_speed(const map::Tags& tags) {
    return std::any_of(tags.pairs().begin(), tags.pairs().end(), [](const auto& tag) {
        return tag.first.rfind("maxspeed", 0) == 0 || tag.first == "source:maxspeed" ||
               tag.first == "zone:maxspeed";
    });
}

void count_way(const map::Tags& tags, LineRole role, Nearby& out) {
    const bool road = role == LineRole::road, path = role == LineRole::path;
    out.any_way = out.any_way || road || path;
    out.lit = out.lit || (road && tags.has("lit"));
    out.surface = out.surface || ((road || path) && tags.has("surface"));
    out.water = out.water || role == LineRole::water;
    out.barrier = out.barrier || role == LineRole::barrier;
    out.cliff = out.cliff || role == LineRole::cliff;
    if (road && !tags.is("highway", "service")) {
        ++out.pavement.all;
        out.pavement.with += has_pavement(tags) ? 1u : 0u;
        ++out.speed.all;
        out.speed.with += has_speed(tags) ? 1u : 0u;
    } else if (path) {
        ++out.right.all;
        out.right.with += tags.has("designation") || tags.has("foot") || tags.has("access") ? 1u : 0u;
        ++out.grade.all;
        out.grade.with += tags.has("sac_scale") ? 1u : 0u;
    }
}

Nearby count_nearby(const map::Ground& ground) {
    Nearby out;
    for (const map::Way& way : ground.ways)
        count_way(way.object.tags, role_of(way.object.tags), out);
    for (const map::TaggedNode& node : ground.tagged_nodes) {
        const map::Tags& tags = node.object.tags;
        out.crossing = out.crossing || tags.is("highway", "crossing") || tags.has("crossing");
        out.gate = out.gate || tags.has("barrier");
    }
    return out;
}

/// A layer that the whole file lacks was never mapped; one that only the route's surroundings lack may be
/// true of the ground.
const char* where(bool in_file) {
    return in_file ? "near the route" : "anywhere in the map file";
}

/// Says how much of a layer the map holds near the route; nothing at all means that a check was not made.
void say(std::vector<std::string>& out, const Count& count, bool in_file, const std::string& what,
         const std::string& on, const std::string& so) {
    if (count.all == 0) return;
    if (count.with == 0)
        out.push_back(fmt::format("No {} is recorded on any of the {} {} near the route{}: {}.", what,
                                  count.all, on, in_file ? "" : ", nor anywhere in the map file", so));
    else
        out.push_back(fmt::format("{} is recorded on {} of the {} {} near the route.",
                                  std::string(1, static_cast<char>(what[0] - 'a' + 'A')) + what.substr(1),
                                  count.with, count.all, on));
}

void say_empty_layers(const Nearby& nearby, const map::Layers& file, std::vector<std::string>& out) {
    if (!nearby.any_way) return;
    out.push_back("\"Similar roads nearby\" are all ways of the same class within about 5 km of the route; "
                  "shares are by length.");
    const auto say_none = [&](bool seen, bool in_file, const char* what, const char* so) {
        if (!seen) out.push_back(fmt::format("No {} is recorded {}: {}.", what, where(in_file), so));
    };
    say_none(nearby.water, file.water, "stream, river or canal", "water was not checked for");
    say_none(nearby.crossing, file.crossing, "crossing place for walkers",
             "help at roads was not checked for");
    say_none(nearby.gate, file.gate, "gate or stile", "they were not checked for");
    say_none(nearby.surface, file.surface, "surface of a way", "surfaces were not checked");
    say_none(nearby.lit, file.lit, "street lighting", "light was not checked for");
}

} // namespace

std::vector<std::string> what_is_not_seen(const map::Ground& ground) {
    const Nearby nearby = count_nearby(ground);
    const map::Layers& file = ground.layers;
    std::vector<std::string> out;
    say_empty_layers(nearby, file, out);
    say(out, nearby.speed, file.speed, "speed limit", "roads", "how fast traffic runs was not checked");
    say(out, nearby.pavement, file.pavement, "pavement", "roads", "whether roads have one was not checked");
    say(out, nearby.right, file.right, "right on foot", "paths and tracks",
        "whether they may be walked was not checked");
    if (nearby.grade.all > 0 && nearby.grade.with == 0)
        out.push_back(fmt::format("No mountain walking grade is recorded on any path {}: steepness and "
                                  "exposure were not checked.",
                                  where(file.grade)));
    if (!nearby.barrier)
        out.push_back(fmt::format("No wall, fence or hedge is recorded {}: they were not checked for.",
                                  where(file.barrier)));
    if (!nearby.cliff)
        out.push_back(fmt::format("No cliff is recorded {}: drops beside the path were not checked for.",
                                  where(file.cliff)));
    out.push_back("No map can tell: weather, river level, tide and ice; livestock; traffic and real speeds.");
    out.push_back("No map can tell: the state of bridges, stiles and paths; crops, fallen trees, temporary "
                  "closures, firing times.");
    out.push_back("No map can tell: the legal line on the definitive map; landowners' consent; the group's "
                  "competence; phone signal.");
    out.push_back(
        "What nobody mapped is not seen. A clean report is not an approval: local law, local advice and a "
        "competent leader decide.");
    return out;
}

} // namespace waywarden::survey
