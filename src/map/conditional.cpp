#include "map/conditional.hpp"

#include "map/tag_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace waywarden::map {

namespace {

using namespace std::chrono;

constexpr std::size_t k_longest_value = 2048, k_most_possible = 8;

std::string_view trimmed(std::string_view text) {
    const auto first = text.find_first_not_of(" \t\r\n");
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1);
}

/// The parts between separators that stand outside parentheses and quotes.
std::vector<std::string_view> split_outside(std::string_view text, std::string_view separator) {
    std::vector<std::string_view> out;
    int depth = 0;
    bool quoted = false;
    std::size_t begin = 0;
    const std::string small = [&] {
        std::string s(text);
        std::transform(s.begin(), s.end(), s.begin(),
                       [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
        return s;
    }();
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '"') quoted = !quoted;
        if (quoted) continue;
        if (text[i] == '(') ++depth;
        if (text[i] == ')') --depth;
        if (depth > 0 || small.compare(i, separator.size(), separator) != 0) continue;
        out.push_back(trimmed(text.substr(begin, i - begin)));
        begin = i + separator.size();
    }
    out.push_back(trimmed(text.substr(begin)));
    return out;
}

/// Without the parentheses that stand around the whole of it.
std::string_view without_parentheses(std::string_view text) {
    while (text.size() >= 2 && text.front() == '(' && text.back() == ')') {
        int depth = 0;
        bool quoted = false;
        for (std::size_t i = 0; i + 1 < text.size(); ++i) {
            if (text[i] == '"') quoted = !quoted;
            if (quoted) continue;
            depth += text[i] == '(' ? 1 : text[i] == ')' ? -1 : 0;
            if (depth == 0) return text;
        }
        text = trimmed(text.substr(1, text.size() - 2));
    }
    return text;
}

HoursReading one_condition(std::string_view text, const At& when) {
    static constexpr std::array<std::string_view, 6> k_weather{"wet", "snow", "ice", "dry", "fog", "flood"};
    const std::string_view bare = without_parentheses(text);
    if (can_read_hours(bare)) return hours_at(bare, when);
    if (std::find(k_weather.begin(), k_weather.end(), tidied(bare)) != k_weather.end())
        return {Opening::unknown, fmt::format("\"{}\" depends on the weather", bare)};
    return {Opening::unknown, fmt::format("\"{}\" is no time that can be read", bare)};
}

/// Open where all hold, closed where one does not.
HoursReading all_conditions(std::string_view text, const At& when) {
    HoursReading out{Opening::open, ""};
    for (const std::string_view part : split_outside(without_parentheses(text), " and ")) {
        HoursReading one = one_condition(part, when);
        if (one.state == Opening::closed) return one;
        if (one.state == Opening::unknown && out.state == Opening::open) out = std::move(one);
    }
    return out;
}

enum class Season { winter, spring, summer, autumn };

Season season_of(month m, bool southern) {
    const unsigned quarter = (static_cast<unsigned>(m) % 12) / 3; // December to February is the first
    return static_cast<Season>((quarter + (southern ? 2 : 0)) % 4);
}

HoursReading open_in_season(std::string_view value, const At& when) {
    static constexpr std::array<std::string_view, 4> k_words{"winter", "spring", "summer", "autumn"};
    const auto because = fmt::format("it says seasonal={}", value);
    const year_month_day from(floor<days>(when.from)), to(floor<days>(when.to));
    const bool southern = when.position.lat_deg < 0;
    const Season now = season_of(from.month(), southern);
    if (season_of(to.month(), southern) != now) return {Opening::unknown, because};
    bool opposite = true;
    for (const std::string& word : parts_of(value)) {
        const auto found =
            std::find(k_words.begin(), k_words.end(), word == "fall" ? "autumn" : std::string_view(word));
        if (found == k_words.end()) return {Opening::unknown, because};
        const int apart = (static_cast<int>(found - k_words.begin()) - static_cast<int>(now) + 4) % 4;
        if (apart == 0) return {Opening::open, because};
        opposite = opposite && apart == 2;
    }
    return {opposite ? Opening::closed : Opening::unknown, because};
}

bool is_way_in_season(const Tags& tags) {
    const auto value = tidied(tags.get("seasonal"));
    return !value.empty() && value != "no" && !tags.has("waterway") && !tags.has("natural");
}

/// foot:conditional, access:conditional, and those for one direction.
bool is_for_walkers(std::string_view key) {
    return (key.starts_with("foot:") || key.starts_with("access:")) && key.ends_with(":conditional");
}

bool is_lock_at_times(std::string_view key, std::string_view value) {
    return key == "locked:conditional" || (key == "locked" && is_odd_lock(value));
}

std::string clock_words(local_seconds time) {
    const auto of_day = time - floor<days>(time);
    return fmt::format("{:02}:{:02}", of_day / hours(1), of_day % hours(1) / minutes(1));
}

} // namespace

bool is_odd_lock(std::string_view locked) {
    return !locked.empty() && locked != "yes" && locked != "no";
}

ConditionalReading conditional_at(std::string_view value, const At& when) {
    ConditionalReading out{{std::nullopt}, true, ""};
    const auto unreadable = [&](std::string why) { return ConditionalReading{{}, false, std::move(why)}; };
    if (value.size() > k_longest_value) return unreadable("the condition is too long to be read");
    for (const std::string_view clause : split_outside(value, ";")) {
        if (clause.empty()) continue;
        const auto at = clause.find('@');
        const std::string word = tidied(clause.substr(0, at));
        if (at == std::string_view::npos || word.empty() || trimmed(clause.substr(at + 1)).empty())
            return unreadable(fmt::format("\"{}\" cannot be read", clause));
        const HoursReading holds = all_conditions(trimmed(clause.substr(at + 1)), when);
        if (holds.state == Opening::closed) continue;
        if (holds.state == Opening::open) {
            out.possible.clear();
            out.because.clear();
        } else if (out.because.empty()) {
            out.because = holds.because;
        }
        if (std::find(out.possible.begin(), out.possible.end(), word) == out.possible.end())
            out.possible.emplace_back(word);
        if (out.possible.size() > k_most_possible) return unreadable("too much of it is uncertain");
    }
    return out;
}

std::vector<std::string> timed_tags(const Tags& tags) {
    std::vector<std::string> out;
    for (const auto& [key, value] : tags.pairs())
        if (is_for_walkers(key) || (tags.has("barrier") && is_lock_at_times(key, value)) ||
            (key == "opening_hours" && value != "24/7") || (key == "seasonal" && is_way_in_season(tags)))
            out.push_back(fmt::format("{}={}", key, value));
    return out;
}

HoursReading open_by_hours(const Tags& tags, const At& when) {
    HoursReading out{Opening::open, "nothing is said of hours"};
    if (tags.has("opening_hours")) out = hours_at(tags.get("opening_hours"), when);
    if (out.state == Opening::closed || !is_way_in_season(tags)) return out;
    HoursReading season = open_in_season(tags.get("seasonal"), when);
    return season.state == Opening::open ? out : season;
}

std::string words_of(const At& when) {
    const year_month_day day(floor<days>(when.from));
    const std::string date =
        fmt::format("{:04}-{:02}-{:02}", int(day.year()), static_cast<unsigned>(day.month()),
                    static_cast<unsigned>(day.day()));
    if (when.to - when.from >= hours(23)) return date;
    if (when.from == when.to) return date + " " + clock_words(when.from);
    return fmt::format("{} between {} and {}", date, clock_words(when.from), clock_words(when.to));
}

} // namespace waywarden::map
