#include "map/speed_reading.hpp"

#include "map/tag_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <limits>

namespace waywarden::map {

namespace {

using Word = std::string_view;

constexpr double k_kmh_per_mph = 1.609344;
constexpr double k_kmh_per_knot = 1.852;
constexpr double k_walking_pace_kmh = 7;
constexpr double k_no_limit = std::numeric_limits<double>::infinity();

std::optional<double> read_one_speed(const std::string& part) {
    if (part == "none" || part == "unlimited") return k_no_limit;
    if (part == "walk") return k_walking_pace_kmh;
    double number = 0;
    std::string unit;
    if (!number_and_unit(part, number, unit) || number <= 0 || number > 400) return std::nullopt;
    if (unit.empty() || among(unit, {"km/h", "kmh", "kph", "km/hr"})) return number;
    if (unit == "mph") return number * k_kmh_per_mph;
    if (among(unit, {"knot", "knots"})) return number * k_kmh_per_knot;
    return std::nullopt;
}

bool bare_sign_number(const std::string& part) {
    double number = 0;
    std::string unit;
    return number_and_unit(part, number, unit) && unit.empty() && number > 0 && number <= 70 &&
           std::fmod(number, 5) == 0;
}

struct Limit {
    double kmh = 0;
    std::string words, because;
    Grade grade = Grade::unknown;
};

std::string words_of(double kmh, bool in_mph) {
    if (std::isinf(kmh)) return "no limit";
    const double shown = in_mph ? kmh / k_kmh_per_mph : kmh;
    return fmt::format("{:.0f} {}", shown, in_mph ? "mph" : "km/h");
}

/// Keeps the highest.
void raise(std::optional<Limit>& best, const Limit& limit) {
    if (!best || limit.kmh > best->kmh) best = limit;
}

/// A limit that the region writes, 0 being none.
Limit limit_from_region(double kmh, const std::string& words, const std::string& because, Grade grade) {
    if (kmh == 0) return {k_no_limit, "no limit", because, grade};
    return {kmh, words, because, grade};
}

/// What a word of zone or class means in the region, if it is known there.
std::optional<Limit> read_word(const std::string& word, std::optional<bool> dual,
                               const region::Region& region, const std::string& because) {
    const auto colon = word.find(':');
    const std::string prefix = word.substr(0, colon);
    const bool ours = colon != std::string::npos &&
                      std::find(region.speed_prefixes.begin(), region.speed_prefixes.end(), prefix) !=
                          region.speed_prefixes.end();
    const std::string bare = tidied(ours ? word.substr(colon + 1) : word);
    std::optional<Limit> best;
    for (const region::SpeedWord& row : region.speed_words) {
        const bool whole = row.word == word;
        if (!whole && row.word != bare) continue;
        if (row.dual && dual && *row.dual != *dual) continue;
        raise(best, limit_from_region(row.limit_kmh, row.words, because, Grade::zone));
        if (whole || !row.dual || dual) break;
    }
    return best;
}

/// Words that say where a limit comes from and not what it is.
bool says_no_limit(const std::string& word) {
    return among(word, {"sign", "signs", "signed", "numeric", "survey", "yes", "no", "signals", "variable",
                        "markings"});
}

/// Free text such as source:maxspeed=survey is no word; one with a country before a colon is meant as one.
bool meant_as_word(const std::string& word) {
    const auto colon = word.find(':');
    return word.find("nsl") != std::string::npos || word.find("zone") != std::string::npos ||
           (colon != std::string::npos && colon >= 2 && colon <= 6 && word.find(' ') == std::string::npos &&
            word.find("//") == std::string::npos);
}

struct Collected {
    std::optional<Limit> recorded, zone;
    std::string unreadable, changing; ///< "maxspeed=fast"
};

void collect_recorded(const Tags& tags, const region::Region& region, std::optional<bool> dual,
                      Collected& out) {
    for (const Word key : {"maxspeed", "maxspeed:forward", "maxspeed:backward", "maxspeed:lanes",
                           "maxspeed:lanes:forward", "maxspeed:lanes:backward"}) {
        std::string value(tags.get(key));
        std::replace(value.begin(), value.end(), '|', ';');
        const std::string because = fmt::format("{}={}", key, tags.get(key));
        for (const std::string& part : parts_of(value)) {
            if (part == "signals" || part == "variable") {
                out.changing = because;
            } else if (region.speed_in_mph && bare_sign_number(part)) {
                const double kmh = std::stod(part) * k_kmh_per_mph;
                raise(out.recorded, {kmh, words_of(kmh, true),
                                     because + ", no unit: read as miles an hour, which signs here are in",
                                     Grade::recorded});
            } else if (const auto kmh = read_one_speed(part)) {
                raise(out.recorded, {*kmh, words_of(*kmh, part.find("mph") != std::string::npos), because,
                                     Grade::recorded});
            } else if (const auto zone = read_word(part, dual, region, because)) {
                raise(out.zone, *zone);
            } else {
                out.unreadable = because;
            }
        }
    }
}

/// Limits that hold at times, of which the highest counts whatever the hour: it may be that hour. A lower one
/// never makes a road slower here. Source: OSM wiki, Conditional restrictions: VALUE @ (condition); …
void raise_by_conditions(const Tags& tags, const region::Region& region, Limit& limit,
                         std::string& changing) {
    for (const Word key :
         {"maxspeed:conditional", "maxspeed:forward:conditional", "maxspeed:backward:conditional"}) {
        const std::string value(tags.get(key));
        for (std::size_t at = 0; at < value.size();) {
            const auto sign = value.find('@', at);
            if (sign == std::string::npos) break;
            const std::string part = tidied(value.substr(at, sign - at));
            auto kmh = read_one_speed(part);
            if (kmh && region.speed_in_mph && bare_sign_number(part)) *kmh *= k_kmh_per_mph;
            const std::string because = fmt::format("{}={}", key, value);
            changing = because;
            if (kmh && *kmh > limit.kmh + 1)
                limit = {*kmh, words_of(*kmh, part.find("mph") != std::string::npos || region.speed_in_mph),
                         because, Grade::recorded};
            const auto open = value.find_first_not_of(' ', sign + 1);
            const auto close = open != std::string::npos && value[open] == '(' ? value.find(')', open) : sign;
            const auto next = close == std::string::npos ? close : value.find(';', close);
            at = next == std::string::npos ? value.size() : next + 1;
        }
    }
}

/// zone:maxspeed=30, DE:30: the number of the zone.
std::optional<Limit> read_zone_number(const std::string& part, const region::Region& region,
                                      const std::string& because) {
    const auto colon = part.rfind(':');
    const std::string number = colon == std::string::npos ? part : part.substr(colon + 1);
    auto kmh = read_one_speed(number);
    if (!kmh) return std::nullopt;
    const bool in_mph =
        number.find("mph") != std::string::npos || (region.speed_in_mph && bare_sign_number(number));
    if (in_mph && number.find("mph") == std::string::npos) *kmh *= k_kmh_per_mph;
    return Limit{*kmh, words_of(*kmh, in_mph), because, Grade::zone};
}

void collect_words(const Tags& tags, const region::Region& region, std::optional<bool> dual, Collected& out) {
    for (const Word key : {"maxspeed:type", "zone:maxspeed", "zone:traffic", "source:maxspeed"}) {
        const bool free_text = key == "source:maxspeed" || key == "zone:traffic";
        const std::string because = fmt::format("{}={}", key, tags.get(key));
        for (const std::string& part : parts_of(tags.get(key))) {
            if (says_no_limit(part)) continue;
            if (const auto limit = read_word(part, dual, region, because))
                raise(out.zone, *limit);
            else if (const auto number =
                         key == "zone:maxspeed" ? read_zone_number(part, region, because) : std::nullopt)
                raise(out.zone, *number);
            else if (!free_text || (meant_as_word(part) && key != "zone:traffic"))
                out.unreadable = because;
        }
    }
}

/// Whether the law of built-up areas holds: street lamps, else a residential class.
std::optional<bool> built_up_of(const Tags& tags) {
    if (const auto lit = lit_of(tags)) return lit;
    if (among(highway_class(tags), {"residential", "living_street"})) return true;
    return std::nullopt;
}

std::string presumed_for(const Tags& tags, std::optional<bool> dual) {
    const auto lit = lit_of(tags);
    return fmt::format("{}, {}, {}", highway_class(tags),
                       !lit   ? "lighting not recorded"
                       : *lit ? "lit"
                              : "unlit",
                       !dual   ? "perhaps one half of a dual carriageway"
                       : *dual ? "dual carriageway"
                               : "single carriageway");
}

std::optional<Limit> presume(const Tags& tags, const region::Region& region, std::optional<bool> dual) {
    const Word highway = highway_class(tags);
    const auto built_up = built_up_of(tags);
    std::optional<Limit> best;
    for (const region::SpeedRow& row : region.presumed_speed) {
        const bool of_class = row.highway.empty() ||
                              std::find(row.highway.begin(), row.highway.end(), highway) != row.highway.end();
        const auto differs = [](std::optional<bool> wanted, std::optional<bool> is) {
            return wanted && is && *wanted != *is;
        };
        if (!of_class || differs(row.dual, dual) || differs(row.built_up, built_up)) continue;
        raise(best,
              limit_from_region(row.limit_kmh, row.words,
                                fmt::format("presumed in {} for {}", region.title, presumed_for(tags, dual)),
                                Grade::presumed));
        const bool surely = !(row.dual && !dual) && !(row.built_up && !built_up);
        if (surely) break;
    }
    return best;
}

} // namespace

std::optional<double> read_speed(std::string_view value) {
    std::optional<double> highest;
    for (const std::string& part : parts_of(value)) {
        const auto kmh = read_one_speed(part);
        if (!kmh) return std::nullopt;
        highest = std::max(highest.value_or(0), *kmh);
    }
    return highest;
}

std::optional<bool> lit_of(const Tags& tags) {
    const std::string lit = tidied(tags.get("lit"));
    if (among(lit, {"yes", "24/7", "automatic", "sunset-sunrise", "dusk-dawn"})) return true;
    if (among(lit, {"no", "disused"})) return false;
    return std::nullopt;
}

std::optional<bool> dual_carriageway_of(const Tags& tags) {
    const Word tagged = tags.get("dual_carriageway");
    if (tagged == "yes" || tags.is("carriageway", "dual")) return true;
    if (tagged == "no") return false;
    for (const Word key : {"maxspeed:type", "source:maxspeed"}) {
        const std::string word = tidied(tags.get(key));
        if (word.find("nsl") == std::string::npos) continue;
        if (word.find("dual") != std::string::npos) return true;
        if (word.find("single") != std::string::npos) return false;
    }
    if (among(tags.get("junction"), {"roundabout", "circular"})) return false;
    const Word highway = highway_class(tags);
    if (among(highway, {"motorway", "motorway_link"})) return std::nullopt;
    if (!among(tags.get("oneway"), {"yes", "true", "1", "-1", "reverse"})) return false;
    if (among(highway, {"residential", "living_street", "service", "busway"})) return false;
    return std::nullopt;
}

SpeedReading speed_of(const Tags& tags, const region::Region& region) {
    const auto dual = dual_carriageway_of(tags);
    Collected found;
    collect_recorded(tags, region, dual, found);
    collect_words(tags, region, dual, found);
    SpeedReading out;
    std::optional<Limit> limit = found.recorded ? found.recorded : found.zone;
    if (!limit) limit = presume(tags, region, dual);
    if (limit) raise_by_conditions(tags, region, *limit, found.changing);
    out.unreadable = !found.unreadable.empty() && !found.recorded && !found.zone;
    out.words = out.unreadable ? "not readable" : !found.changing.empty() ? "changing" : "not recorded";
    if (limit) {
        out.limit_kmh = limit->kmh;
        out.words = limit->words;
        out.because = limit->because;
        out.grade = limit->grade;
    }
    if (found.recorded && found.zone && found.zone->kmh > found.recorded->kmh + 1) {
        out.conflicting = true;
        out.because += fmt::format(", but {} means {}", found.zone->because, found.zone->words);
    }
    for (const std::string& note : {found.unreadable, found.changing})
        if (!note.empty() && note != out.because)
            out.because +=
                fmt::format("{}{} {}", out.because.empty() ? "" : "; ", note,
                            note == found.unreadable ? "could not be read" : "changes with the hour");
    return out;
}

} // namespace waywarden::map
