#include "map/weighed_right.hpp"

#include "map/conditional.hpp"
#include "map/right_reading.hpp"
#include "map/tag_words.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace waywarden::map {

namespace {

Tags with(const Tags& tags, const std::string& key, const std::optional<std::string>& value) {
    if (!value) return tags;
    auto pairs = tags.pairs();
    std::erase_if(pairs, [&](const auto& pair) { return pair.first == key; });
    pairs.emplace_back(key, *value);
    return Tags(std::move(pairs));
}

/// The tags as they may read at the time, once the conditions have been weighed.
struct Weighed {
    std::vector<Tags> possible;
    std::vector<std::string> because;
    bool readable = true;
};

Weighed weigh(const Tags& tags, const At& when) {
    Weighed out{{tags}, {}, true};
    for (const std::string key : {"foot", "access"}) {
        const std::string conditional = key + ":conditional";
        if (!tags.has(conditional)) continue;
        const ConditionalReading reading = conditional_at(tags.get(conditional), when);
        const std::string tag = fmt::format("{}={}", conditional, tags.get(conditional));
        if (reading.known())
            out.because.push_back(
                fmt::format("{}: {} on {}", tag,
                            reading.possible.front() ? *reading.possible.front() + " holds" : "none holds",
                            words_of(when)));
        else
            out.because.push_back(fmt::format("{}: cannot be told, because {}", tag, reading.because));
        out.readable = out.readable && reading.readable;
        std::vector<Tags> more;
        for (const Tags& one : out.possible)
            for (const auto& value : reading.possible)
                more.push_back(with(one, key, value));
        if (!more.empty()) out.possible = std::move(more);
    }
    return out;
}

/// What keeps everybody out, beside what only some may use.
bool is_closed(const RightReading& reading) {
    return reading.right == Right::forbidden || reading.value == "private";
}

/// A condition on access does not touch walkers where the tags speak of them.
bool condition_counts(const Tags& tags) {
    return tags.has("foot:conditional") ||
           (tags.has("access:conditional") && !tags.has("foot") && !tags.has("designation"));
}

} // namespace

RightReading weighed(const Tags& tags, const At& when, const std::function<RightReading(const Tags&)>& read) {
    const Weighed weighed = weigh(tags, when);
    RightReading out = read(weighed.possible.front());
    const bool same = std::all_of(weighed.possible.begin(), weighed.possible.end(),
                                  [&](const Tags& one) { return read(one).right == out.right; });
    if (!weighed.readable || !same) out = {Right::unknown, Grade::unknown, "conditional", {}, false};
    out.because.insert(out.because.begin(), weighed.because.begin(), weighed.because.end());
    return out;
}

namespace {

/// "yes @ (08:00-16:00)" with no word for the rest of the day tells when walkers may, not that they may else.
bool only_lets(const Tags& tags, const At& when) {
    const std::string value = tidied(tags.get("foot:conditional"));
    if (value.empty() || tags.has("foot") || tags.has("access") || tags.has("designation")) return false;
    const bool lets =
        value.starts_with("yes") || value.starts_with("designated") || value.starts_with("permissive");
    const ConditionalReading reading = conditional_at(value, when);
    return lets && std::find(reading.possible.begin(), reading.possible.end(), std::nullopt) !=
                       reading.possible.end();
}

/// Whether a gate is locked at the time, where its tags tell of times.
Opening lock_at(const Tags& tags, const At& when) {
    if (!tags.has("barrier")) return Opening::open;
    Opening out = is_odd_lock(tags.get("locked")) ? Opening::unknown : Opening::open;
    if (!tags.has("locked:conditional")) return out;
    const ConditionalReading reading = conditional_at(tags.get("locked:conditional"), when);
    if (!reading.known()) return Opening::unknown;
    if (reading.possible.front()) out = *reading.possible.front() == "no" ? Opening::open : Opening::closed;
    return out;
}

} // namespace

ClosedReading closed_on_foot(const Tags& tags, const region::Region& region, const At& when) {
    using State = ClosedReading::State;
    const HoursReading hours = open_by_hours(tags, when);
    if (hours.state == Opening::closed) return {State::yes, hours.because};
    ClosedReading out;
    if (hours.state == Opening::unknown) out = {State::unknown, hours.because};
    const Opening lock = lock_at(tags, when);
    if (lock == Opening::closed) return {State::yes, "it is locked then"};
    if (lock == Opening::unknown) out = {State::unknown, "whether it is locked then cannot be told"};
    if (only_lets(tags, when)) out = {State::unknown, "nothing is said of other times"};
    if (condition_counts(tags)) {
        const RightReading right =
            tags.has("barrier") ? right_of_barrier(tags, when) : right_of(tags, region, when);
        if (is_closed(right)) return {State::yes, right.because.front()};
        const bool some_may = right.right == Right::restricted;
        if (right.value == "conditional" || some_may) out = {State::unknown, right.because.front()};
    }
    if (out.state == State::no && !tags.has("foot") && tags.has("designation") &&
        tags.has("access:conditional")) {
        // A closing order may be tagged on access alone: it stands against the right, and nobody knows which
        // counts.
        const auto closing = conditional_at(tags.get("access:conditional"), when);
        const auto bars = [](const auto& word) { return word == "no" || word == "private"; };
        if (!closing.readable || std::any_of(closing.possible.begin(), closing.possible.end(), bars))
            out = {State::unknown, fmt::format("access:conditional={} stands against designation={}",
                                               tags.get("access:conditional"), tags.get("designation"))};
    }
    for (const std::string& tag : timed_tags(tags))
        if (out.state == State::no && tag.find(":conditional=") != std::string::npos &&
            !tag.starts_with("foot:conditional=") && !tag.starts_with("access:conditional=") &&
            !tag.starts_with("locked:"))
            out = {State::unknown, tag + " holds in one direction only"};
    return out;
}

} // namespace waywarden::map
