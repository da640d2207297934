#include "survey/scene.hpp"
#include "survey/spots.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace waywarden::survey {

namespace {

struct Count {
    std::size_t all = 0, with = 0;
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

/// Says how much of a layer the map holds near the route; nothing at all means that a check was not made.
void say(std::vector<std::string>& out, const Count& count, const std::string& what, const std::string& on,
         const std::string& so) {
    if (count.all == 0) return;
    if (count.with == 0)
        out.push_back(fmt::format("No {} is recorded on any of the {} {} near the route: {}.", what,
                                  count.all, on, so));
    else
        out.push_back(fmt::format("{} is recorded on {} of the {} {} near the route.",
                                  std::string(1, static_cast<char>(what[0] - 'a' + 'A')) + what.substr(1),
                                  count.with, count.all, on));
}

} // namespace

std::vector<std::string> what_is_not_seen(const map::Ground& ground) {
    Count pavement, speed, right, grade;
    bool barriers = false, cliffs = false;
    for (const map::Way& way : ground.ways) {
        const map::Tags& tags = way.object.tags;
        const LineRole role = role_of(tags);
        if (role == LineRole::road && !tags.is("highway", "service")) {
            ++pavement.all;
            pavement.with += has_pavement(tags) ? 1u : 0u;
            ++speed.all;
            speed.with += has_speed(tags) ? 1u : 0u;
        } else if (role == LineRole::path) {
            ++right.all;
            right.with += tags.has("designation") || tags.has("foot") || tags.has("access") ? 1u : 0u;
            ++grade.all;
            grade.with += tags.has("sac_scale") ? 1u : 0u;
        }
        barriers = barriers || role == LineRole::barrier;
        cliffs = cliffs || role == LineRole::cliff;
    }
    std::vector<std::string> out;
    say(out, speed, "speed limit", "roads", "how fast traffic runs was not checked");
    say(out, pavement, "pavement", "roads", "whether roads have one was not checked");
    say(out, right, "right on foot", "paths and tracks", "whether they may be walked was not checked");
    if (grade.all > 0 && grade.with == 0)
        out.push_back("No mountain walking grade is recorded on any path near the route: steepness and "
                      "exposure were not checked.");
    if (!barriers)
        out.push_back("No wall, fence or hedge is recorded near the route: they were not checked for.");
    if (!cliffs)
        out.push_back("No cliff is recorded near the route: drops beside the path were not checked for.");
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
