#include "map/right_reading.hpp"

#include "map/tag_words.hpp"
#include "map/weighed_right.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace waywarden::map {

namespace {

/// From best to worst for a walker; the worst of several counts.
int badness(Right right) {
    switch (right) {
    case Right::recorded:
        return 0;
    case Right::road:
        return 1;
    case Right::open_access:
        return 2;
    case Right::permissive:
        return 3;
    case Right::presumed:
        return 4;
    case Right::unknown:
        return 5;
    case Right::restricted:
        return 6;
    case Right::forbidden:
        return 7;
    }
    return 7;
}

bool lets_walk(Right right) {
    return badness(right) <= badness(Right::presumed);
}

using Words = std::map<std::string, Right, std::less<>>;

/// Source: OSM wiki, Key:access and Key:foot. A word of `foot` is meant for walkers; one of `access` is for
/// all traffic, so private there is a possible trespass and not a certain one.
const Words& words_of_foot() {
    static const Words words{{"yes", Right::recorded},           {"designated", Right::recorded},
                             {"official", Right::recorded},      {"public", Right::recorded},
                             {"dismount", Right::recorded},      {"permissive", Right::permissive},
                             {"no", Right::forbidden},           {"private", Right::forbidden},
                             {"military", Right::forbidden},     {"customers", Right::restricted},
                             {"destination", Right::restricted}, {"delivery", Right::restricted},
                             {"permit", Right::restricted},      {"agricultural", Right::restricted},
                             {"forestry", Right::restricted},    {"residents", Right::restricted},
                             {"emergency", Right::restricted},   {"employees", Right::restricted},
                             {"members", Right::restricted},     {"use_sidepath", Right::restricted},
                             {"restricted", Right::restricted},  {"unknown", Right::unknown}};
    return words;
}

/// Source: OSM wiki, Key:designation; Wildlife and Countryside Act 1981 s.66(1), CROW Act 2000 s.48(4).
const Words& words_of_designation() {
    static const Words words{{"public_footpath", Right::recorded},
                             {"public_bridleway", Right::recorded},
                             {"restricted_byway", Right::recorded},
                             {"byway_open_to_all_traffic", Right::recorded},
                             {"byway", Right::recorded},
                             {"public_byway", Right::recorded},
                             {"public_right_of_way", Right::recorded},
                             {"public_path", Right::recorded},
                             {"public_cycleway", Right::recorded},
                             {"public_highway", Right::recorded},
                             {"unclassified_highway", Right::recorded},
                             {"core_path", Right::recorded},
                             {"permissive_footpath", Right::permissive},
                             {"permissive_bridleway", Right::permissive}};
    return words;
}

/// What the values of one key come to, or nothing where the key is absent (or, for designation, says nothing
/// of walkers).
struct Verdict {
    Right right = Right::unknown;
    std::string word, because;
    bool conflicting = false;
};

std::optional<Verdict> read_key(const Tags& tags, const std::string& key, const Words& words,
                                bool unknown_words_count) {
    std::optional<Verdict> worst;
    bool some_let = false, some_bar = false;
    for (const std::string& part : parts_of(tags.get(key))) {
        const auto known = words.find(part);
        if (known == words.end() && !unknown_words_count) continue;
        const Right right = known == words.end() ? Right::unknown : known->second;
        some_let = some_let || lets_walk(right);
        some_bar = some_bar || !lets_walk(right);
        if (!worst || badness(right) > badness(worst->right))
            worst = Verdict{right, part, fmt::format("{}={}", key, tags.get(key)), false};
    }
    if (worst) worst->conflicting = some_let && some_bar;
    return worst;
}

std::optional<Verdict> read_access(const Tags& tags) {
    auto verdict = read_key(tags, "access", words_of_foot(), true);
    if (verdict && verdict->word == "private") verdict->right = Right::restricted;
    return verdict;
}

Right presumed_right(const Tags& tags, const region::Region& region) {
    static const std::map<std::string, Right, std::less<>> rights{{"road", Right::road},
                                                                  {"presumed", Right::presumed},
                                                                  {"open_access", Right::open_access},
                                                                  {"forbidden", Right::forbidden}};
    const auto highway = highway_class(tags);
    for (const region::FootRow& row : region.presumed_foot) {
        if (std::find(row.highway.begin(), row.highway.end(), highway) == row.highway.end()) continue;
        const auto right = rights.find(row.right);
        return right == rights.end() ? Right::unknown : right->second;
    }
    return Right::unknown;
}

RightReading presume(const Tags& tags, const region::Region& region) {
    RightReading out;
    out.right = presumed_right(tags, region);
    out.grade = out.right == Right::unknown ? Grade::unknown : Grade::presumed;
    out.because.push_back(
        out.right == Right::unknown
            ? fmt::format("highway={}: nothing is presumed in {}", highway_class(tags), region.title)
            : fmt::format("highway={}: presumed in {}", highway_class(tags), region.title));
    return out;
}

/// "discouraged" warns and forbids nothing: what else is known counts.
bool only_discouraged(const Tags& tags, const char* key) {
    return tidied(tags.get(key)) == "discouraged";
}

RightReading read_words(const Tags& tags, const region::Region& region) {
    const auto foot =
        only_discouraged(tags, "foot") ? std::nullopt : read_key(tags, "foot", words_of_foot(), true);
    const auto designation = read_key(tags, "designation", words_of_designation(), false);
    const auto access = only_discouraged(tags, "access") ? std::nullopt : read_access(tags);
    const auto& decides = foot ? foot : designation ? designation : access;
    RightReading out;
    if (decides) {
        out = {decides->right, Grade::recorded, decides->word, {decides->because}, decides->conflicting};
        if (out.right == Right::unknown) out.grade = Grade::unknown;
        const bool by_designation = !foot && designation;
        const bool public_road = presumed_right(tags, region) == Right::road;
        if (public_road && out.right == Right::recorded && !by_designation) out.right = Right::road;
    } else {
        out = presume(tags, region);
        for (const char* key : {"foot", "access"})
            if (only_discouraged(tags, key)) {
                out.value = "discouraged";
                out.because.push_back(fmt::format("{}=discouraged", key));
            }
    }
    // access=no is what a path or bridge gets that is shut: against a recorded right nobody knows which
    // holds.
    if (!foot && designation && designation->right == Right::recorded && access &&
        access->right == Right::forbidden) {
        out.conflicting = true;
        out.because.push_back(access->because);
    }
    if (only_discouraged(tags, "foot") && (lets_walk(out.right) || out.right == Right::unknown))
        out.value = "discouraged";
    if (foot && designation && designation->right == Right::recorded && foot->right != Right::recorded &&
        foot->right != Right::unknown) {
        out.conflicting = true;
        out.because.push_back(designation->because);
    }
    if (designation && designation->word.starts_with("permissive") && foot && !lets_walk(foot->right)) {
        out.conflicting = true;
        out.because.push_back(designation->because);
    }
    return out;
}

/// Where no time is given a condition is not weighed: where one may change the answer, it is not known.
void doubt_for_conditions(const Tags& tags, RightReading& reading) {
    const bool by_foot = tags.has("foot") || !reading.because.front().starts_with("access=");
    for (const std::string key : {"foot:conditional", "access:conditional"}) {
        if (!tags.has(key)) continue;
        const bool counts = key == "foot:conditional" || !by_foot || reading.grade != Grade::recorded;
        reading.because.push_back(fmt::format("{}={}", key, tags.get(key)));
        if (!counts || badness(reading.right) >= badness(Right::restricted)) continue;
        reading.right = Right::unknown;
        reading.grade = Grade::unknown;
        reading.value = "conditional";
        reading.because.back() += " is not weighed here";
    }
}

RightReading forbidden_because(const std::string& why) {
    return {Right::forbidden, Grade::presumed, "", {why}, false};
}

} // namespace

RightReading right_of(const Tags& tags, const region::Region& region, const std::optional<At>& when) {
    const LineKind kind = line_kind(tags);
    if (access_of(tags) == Access::motorway) {
        RightReading out = forbidden_because(
            tags.is("motorroad", "yes") ? "motorroad=yes" : fmt::format("highway={}", highway_class(tags)));
        const auto foot = read_key(tags, "foot", words_of_foot(), true);
        if (tags.is("motorroad", "yes")) out.grade = Grade::recorded;
        if (foot) out.because.push_back(foot->because);
        out.conflicting = foot && lets_walk(foot->right);
        return out;
    }
    if (kind == LineKind::rail && lifecycle(tags).empty() && !tags.has("foot") && !tags.has("designation"))
        return forbidden_because(fmt::format("railway={}", tags.get("railway")));
    const auto read = [&](const Tags& one) -> RightReading {
        if (kind != LineKind::ferry || one.has("foot") || one.has("access")) return read_words(one, region);
        return {
            Right::presumed, Grade::presumed, "", {"a ferry takes walkers unless tags say otherwise"}, false};
    };
    if (when) return weighed(tags, *when, read);
    RightReading out = read(tags);
    doubt_for_conditions(tags, out);
    return out;
}

namespace {

RightReading read_barrier_words(const Tags& tags) {
    auto verdict = read_key(tags, "foot", words_of_foot(), true);
    if (!verdict) verdict = read_access(tags);
    RightReading out;
    if (verdict) {
        out = {verdict->right, Grade::recorded, verdict->word, {verdict->because}, verdict->conflicting};
        if (out.right == Right::unknown) out.grade = Grade::unknown;
    }
    return out;
}

} // namespace

RightReading right_of_barrier(const Tags& tags, const std::optional<At>& when) {
    if (when) return weighed(tags, *when, read_barrier_words);
    RightReading out = read_barrier_words(tags);
    if (out.because.empty()) out.because.push_back("nothing on foot or access");
    doubt_for_conditions(tags, out);
    if (out.because.front() == "nothing on foot or access") out.because.erase(out.because.begin());
    return out;
}

} // namespace waywarden::map
