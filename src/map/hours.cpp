#include "map/hours.hpp"

#include "geo/sun.hpp"
#include "geo/zoned_time.hpp"
#include "map/hours_rules.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>

namespace waywarden::map {

namespace {

using namespace std::chrono;
using hours::Event;
using hours::Rule;
using hours::World;

constexpr int k_day_min = 1440;
constexpr std::size_t k_longest_value = 2048; ///< OSM takes 255 characters
constexpr auto k_longest_time = days(2);
/// How far into the next day an open end ("19:00+") may last; common practice, no source.
constexpr int k_open_end_min = k_day_min + 6 * 60;

/// Minutes after local midnight of a day's sun, looked up once a day.
class SunClock {
  public:
    explicit SunClock(const At& when) : m_when(when) {}

    std::optional<int> minutes(Event event, local_days day) {
        const auto known = m_days.find(day);
        const geo::SunTimes& sun =
            known != m_days.end()
                ? known->second
                : m_days.emplace(day, geo::sun_times(m_when.position, year_month_day(day))).first->second;
        const auto& at = event == Event::dawn      ? sun.dawn
                         : event == Event::sunrise ? sun.rise
                         : event == Event::sunset  ? sun.set
                                                   : sun.dusk;
        if (!at) return std::nullopt;
        const auto local = geo::to_local(m_when.zone, *at);
        if (!local) return std::nullopt;
        return static_cast<int>(round<std::chrono::minutes>(*local - day).count());
    }

  private:
    const At& m_when;
    std::map<local_days, geo::SunTimes> m_days;
};

/// What a rule says of one minute; `nothing` where it does not speak of it.
struct Word {
    bool speaks = false, sun_unknown = false, open_end = false;
};

/// "18:30-dusk" means an evening, and in winter, when dusk comes first, nobody knows what. Whether a range is
/// meant to run past midnight is told by the sun's times of an ordinary day.
bool ends_as_meant(const hours::TimeSpan& span, int from, int to) {
    if (!span.ends || (span.from.event == Event::none && span.to.event == Event::none)) return true;
    const auto ordinary = [](const hours::ClockTime& time) {
        static constexpr std::array<int, 5> k_minutes{0, 330, 360, 1080, 1110};
        return k_minutes[static_cast<std::size_t>(time.event)] + time.minutes;
    };
    return (ordinary(span.to) < ordinary(span.from)) == (to <= from);
}

Word word_of(const hours::TimeSpan& span, local_days day, int minute, SunClock& sun) {
    const auto on = [&](const hours::ClockTime& time, local_days of) -> std::optional<int> {
        if (time.event == Event::none) return time.minutes;
        const auto at = sun.minutes(time.event, of);
        return at ? std::optional(*at + time.minutes) : std::nullopt;
    };
    const auto from = on(span.from, day);
    auto to = span.ends ? on(span.to, day) : from;
    if (!from || !to || !ends_as_meant(span, *from, *to)) return {minute < k_open_end_min, true, false};
    if (span.ends && *to <= *from) {
        const auto next = on(span.to, day + days(1));
        if (!next) return {minute < k_open_end_min, true, false};
        to = *next + k_day_min;
    }
    if (minute >= *from && minute < *to) return {true, false, false};
    return {span.open_end && minute >= *to && minute < k_open_end_min, false, span.open_end};
}

/// The answer of one minute and the rule that gave it.
struct Answer {
    Opening state = Opening::closed;
    const Rule* rule = nullptr;
    bool sun_unknown = false, open_end = false;
};

class Evaluator {
  public:
    Evaluator(const std::vector<Rule>& rules, const At& when) : m_rules(rules), m_sun(when) {
        for (const Rule& rule : rules) {
            m_public = m_public || rule.public_holiday;
            m_school = m_school || rule.school_holiday;
        }
    }

    HoursReading at(local_seconds time) {
        const local_days day = floor<days>(time);
        const int minute = static_cast<int>(floor<minutes>(time - day).count());
        const Answer first = answer(day, minute, {});
        if (answer(day, minute, {}, true).state != first.state)
            return {Opening::unknown, "the hours can be read in two ways for that time"};
        for (const World world : {World{true, false}, World{false, true}, World{true, true}}) {
            if ((world.public_holiday && !m_public) || (world.school_holiday && !m_school)) continue;
            if (answer(day, minute, world).state == first.state) continue;
            return {Opening::unknown, fmt::format("it is not known here whether that day is a {} holiday",
                                                  m_public && m_school ? "public or school"
                                                  : m_public           ? "public"
                                                                       : "school")};
        }
        return {first.state, words(first)};
    }

  private:
    /// The rules in force on a day: each that names the day takes the place of those before it, unless it was
    /// added with a comma, or steps in with bars, or only takes away. Read loosely, a rule that names no days
    /// adds to one before it that does: many write it so, and mean it. Gives the last that took a place.
    std::size_t rules_in_force(local_days day, World world, bool loosely,
                               std::vector<std::size_t>& out) const {
        std::size_t last = 0;
        out.clear();
        for (std::size_t i = 0; i < m_rules.size(); ++i) {
            const Rule& rule = m_rules[i];
            if (!hours::is_on(rule, day, world)) continue;
            bool replaces = rule.link == Rule::Link::normal && rule.state != Opening::closed;
            if (loosely && i > 0 && !rule.names_days())
                replaces = replaces && rule.state == Opening::open && !m_rules[i - 1].names_days();
            if (replaces) {
                out.clear();
                last = i;
            }
            out.push_back(i);
        }
        return last;
    }

    /// Read loosely, a rule for today also takes the place of what began before midnight, and a rule added
    /// with a comma to one that steps in steps in with it.
    Answer answer(local_days day, int minute, World world, bool loosely = false) {
        const std::size_t last = rules_in_force(day, world, loosely, m_today);
        rules_in_force(day - days(1), world, loosely, m_yesterday);
        if (loosely) std::erase_if(m_yesterday, [last](std::size_t i) { return i < last; });
        Answer out;
        std::size_t t = 0, y = 0;
        while (t < m_today.size() || y < m_yesterday.size()) {
            const bool is_today =
                y >= m_yesterday.size() || (t < m_today.size() && m_today[t] < m_yesterday[y]);
            const Rule& rule = m_rules[is_today ? m_today[t++] : m_yesterday[y++]];
            if (is_today)
                apply(rule, day, minute, loosely, out);
            else
                apply(rule, day - days(1), minute + k_day_min, loosely, out);
        }
        return out;
    }

    void apply(const Rule& rule, local_days day, int minute, bool loosely, Answer& out) {
        const bool steps_in = rule.link == Rule::Link::fallback || (loosely && rule.added_to_fallback);
        if (steps_in && out.state != Opening::closed) return;
        if (rule.times.empty()) {
            if (minute < k_day_min) out = {rule.state, &rule, false, false};
            return;
        }
        for (const hours::TimeSpan& span : rule.times) {
            const Word word = word_of(span, day, minute, m_sun);
            if (!word.speaks) continue;
            const bool sure = !word.sun_unknown && !word.open_end;
            out = {sure ? rule.state : Opening::unknown, &rule, word.sun_unknown, word.open_end};
            if (sure) return;
        }
    }

    static std::string words(const Answer& answer) {
        if (!answer.rule) return "no hours are given for that time";
        const Rule& rule = *answer.rule;
        if (!rule.readable) return fmt::format("\"{}\" cannot be read", rule.text);
        if (answer.sun_unknown) return fmt::format("{} cannot be told from the sun on that day", rule.text);
        if (answer.open_end) return fmt::format("\"{}\" does not say when it ends", rule.text);
        if (!rule.comment.empty()) return fmt::format("it says \"{}\"", rule.comment);
        return fmt::format("it says {}", rule.text);
    }

    const std::vector<Rule>& m_rules;
    SunClock m_sun;
    bool m_public = false, m_school = false;
    std::vector<std::size_t> m_today, m_yesterday;
};

} // namespace

const char* to_string(Opening state) {
    switch (state) {
    case Opening::closed:
        return "closed";
    case Opening::open:
        return "open";
    case Opening::unknown:
        return "unknown";
    }
    return "unknown";
}

HoursReading hours_at(std::string_view value, const At& when) {
    if (value.size() > k_longest_value) return {Opening::unknown, "the hours are too long to be read"};
    if (when.to < when.from || when.to - when.from > k_longest_time)
        return {Opening::unknown, "the time of passing is not known"};
    const std::vector<Rule> rules = hours::parse(value);
    if (rules.empty()) return {Opening::unknown, "no hours are given"};
    Evaluator evaluator(rules, when);
    HoursReading first = evaluator.at(when.from);
    for (auto time = floor<minutes>(when.from) + minutes(1); time <= when.to; time += minutes(1)) {
        if (first.state == Opening::unknown) break;
        HoursReading now = evaluator.at(time);
        if (now.state == Opening::unknown) return now;
        if (now.state != first.state)
            return {Opening::unknown,
                    fmt::format("it is {} for a part of the time only in which they may pass", "open")};
    }
    return first;
}

bool can_read_hours(std::string_view value) {
    if (value.size() > k_longest_value) return false;
    const std::vector<Rule> rules = hours::parse(value);
    return !rules.empty() &&
           std::all_of(rules.begin(), rules.end(), [](const Rule& rule) { return rule.readable; });
}

} // namespace waywarden::map
