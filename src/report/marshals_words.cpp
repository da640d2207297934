#include "report/marshals_words.hpp"

#include "report/telling.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace waywarden::report {

const char* to_string(Call call) {
    switch (call) {
    case Call::not_called_for:
        return "not_called_for";
    case Call::advised:
        return "advised";
    case Call::look_first:
        return "look_first";
    case Call::needed:
        return "needed";
    case Call::do_not_cross:
        return "do_not_cross";
    }
    return "look_first";
}

const char* call_words(Call call) {
    switch (call) {
    case Call::not_called_for:
        return "None called for by the rule";
    case Call::advised:
        return "Advised";
    case Call::look_first:
        return "Cannot tell: look first";
    case Call::needed:
        return "Needed";
    case Call::do_not_cross:
        return "Do not lead a party over here";
    }
    return "Cannot tell: look first";
}

const std::vector<std::string>& marshal_rule() {
    static const std::vector<std::string> rule{
        "A road crossed on the level needs marshals where its limit is above 50 km/h (30 mph) or not known, "
        "where "
        "it is a trunk, primary or secondary road, or where the group cannot see as far as it must, unless "
        "signals or a marked crossing for walkers are recorded and the limit is known to be low: then one is "
        "advised.",
        "Where a driver who keeps to the limit cannot stop within what is seen even with 4 m clear beside "
        "the "
        "road, and no signals or marked crossing are recorded, marshals do not make the place fit: move the "
        "crossing, or ask the highway authority what it allows.",
        "Other slow roads: one is advised where sight is within one and a half times what is needed, or "
        "where more "
        "people come than cross together. Where sight cannot be told, or the road is not recorded as in use, "
        "look first.",
        "A railway in use that is crossed on the level needs marshals on both sides; where no crossing is "
        "recorded, "
        "nobody crosses.",
        "A ford, stepping stones or a ferry needs marshals on both sides. Where no way over water is "
        "recorded, "
        "nobody is sent before somebody has looked.",
        "A road walked along without a recorded pavement needs marshals ahead and behind where its limit is "
        "above "
        "50 km/h or not known, or where it is a trunk, primary or secondary road; else, and on service roads "
        "and streets for walkers, they are advised.",
        "A narrow place needs a marshal where all of the party wait ten minutes and more, and one is advised "
        "from "
        "three minutes on. What is locked, or lets nobody through, is looked at first.",
        "After a slow place people come spread out, so that the next of its kind holds them up less than the "
        "sheet says.",
        "These are rules of thumb: common practice, no source.",
    };
    return rule;
}

const std::vector<std::string>& marshal_cautions() {
    static const std::vector<std::string> cautions{
        "Marshals have no power to stop traffic, nor to wave it on, unless the law of the place gives it to "
        "them: "
        "they hold walkers back, and stand off the road. Ask the highway authority and the police well "
        "before the "
        "day; they decide what is done on a road. The railway's operator decides what is done on a line.",
        "Sight is reckoned from the line of the road on the map alone, with 1.5 m (the lower figure) and 4 m "
        "(the "
        "higher) assumed clear between the middle of the road and what hides the view. Crests, hedges, "
        "walls, "
        "parked cars, fog and low sun are not in it: walk every place beforehand, at the hour and in the "
        "season.",
        "The limit is not the speed. Nobody who made this sheet has seen the places.",
    };
    return cautions;
}

std::string limit_words(const survey::Facts& facts) {
    const std::string limit = facts.text("speed_limit"), source = facts.text("speed_limit_source");
    if (facts.flag("speed_unreadable").value_or(false)) return "not known: what is recorded cannot be read";
    if (limit.empty()) return std::string(k_not_known);
    if (source == "recorded") return limit + " (recorded)";
    if (source == "zone") return limit + " (by the zone recorded)";
    return limit + " (presumed, not recorded)";
}

bool is_slow(const survey::Facts& facts) {
    const auto limit_kmh = facts.number("speed_limit_kmh");
    return limit_kmh && *limit_kmh <= k_slow_kmh;
}

std::string way_words(const std::string& name, map::Access access, const survey::Facts& facts) {
    const std::string kind = access_words(access), state = facts.text("lifecycle", "in_use");
    const std::string more = state == "in_use" ? "" : fmt::format(", recorded as {}", state);
    return name.empty() ? fmt::format("{} without a name on the map{}", kind, more)
                        : fmt::format("{} ({}{})", name, kind, more);
}

std::string minutes_words(double minutes) {
    if (minutes < 1.5) return fmt::format("{:.0f} s", minutes * 60);
    return fmt::format("{:.{}f} min", minutes, minutes < 10 ? 1 : 0);
}

std::string group_words(const Assessment& assessment) {
    return assessment.group_size ? fmt::format("a group of {}", *assessment.group_size)
                                 : "a group of unknown size";
}

std::string spaced(std::string word) {
    std::replace(word.begin(), word.end(), '_', ' ');
    return word;
}

} // namespace waywarden::report
