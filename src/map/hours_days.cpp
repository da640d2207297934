#include "map/hours_rules.hpp"

#include <algorithm>

namespace waywarden::map::hours {

namespace {

using namespace std::chrono;

/// Source: the anonymous Gregorian algorithm (Nature, 20 April 1876; Meeus, Astronomical Algorithms, ch. 8).
local_days easter_of(int y) {
    const int a = y % 19, b = y / 100, c = y % 100, d = b / 4, e = b % 4, f = (b + 8) / 25;
    const int g = (b - f + 1) / 3, h = (19 * a + b - d - g + 15) % 30, i = c / 4, k = c % 4;
    const int l = (32 + 2 * e + 2 * i - h - k) % 7, m = (a + 11 * h + 22 * l) / 451;
    const int month_number = (h + l - 7 * m + 114) / 31, day_number = (h + l - 7 * m + 114) % 31 + 1;
    return local_days(year(y) / month_number / day_number);
}

/// The day of a point in a year. A day that the month does not have (29 February) is the first of the next
/// month as a beginning and the last of its own as an end.
local_days day_of(const DatePoint& point, int in_year, bool as_end) {
    const days shift(point.offset_days);
    if (point.easter) return easter_of(in_year) + shift;
    const year_month ym = year(in_year) / month(point.month);
    const local_days last_day(ym / last);
    if (point.weekday) {
        const weekday wd(*point.weekday);
        if (point.nth < 0) return local_days(ym / wd[last]) + days(7 * (point.nth + 1)) + shift;
        return local_days(ym / wd[1]) + days(7 * (point.nth - 1)) + shift;
    }
    if (!point.day) return as_end ? last_day : local_days(ym / 1);
    const local_days day = local_days(ym / 1) + days(*point.day - 1);
    return (as_end ? std::min(day, last_day) : day) + shift;
}

bool holds(const DateSpan& span, local_days date) {
    const int this_year = int(year_month_day(date).year());
    for (const int begin : {this_year - 1, this_year}) {
        if (span.from.year && *span.from.year != begin) {
            if (begin != this_year || *span.from.year > this_year) continue;
        }
        const int from_year = span.from.year.value_or(begin);
        const local_days from = day_of(span.from, from_year, false);
        local_days to = day_of(span.to, span.to.year.value_or(from_year), true);
        if (to < from && !span.to.year) to = day_of(span.to, from_year + 1, true);
        if (date >= from && date <= to) return true;
    }
    return false;
}

bool holds(const WeekdaySpan& span, local_days date) {
    const unsigned wd = weekday(date).c_encoding();
    const bool named =
        span.first <= span.last ? wd >= span.first && wd <= span.last : wd >= span.first || wd <= span.last;
    if (!named || span.nth.empty()) return named;
    const year_month_day ymd(date);
    const int day = static_cast<int>(static_cast<unsigned>(ymd.day()));
    const int length = static_cast<int>(
        static_cast<unsigned>(year_month_day_last(ymd.year(), month_day_last(ymd.month())).day()));
    return std::any_of(span.nth.begin(), span.nth.end(),
                       [&](int n) { return n > 0 ? (day - 1) / 7 + 1 == n : (length - day) / 7 + 1 == -n; });
}

/// ISO 8601: the week that holds the year's first Thursday is the first.
int week_of(local_days date) {
    const local_days thursday = date - (weekday(date) - Monday) + days(3);
    const local_days new_year(year_month_day(thursday).year() / January / 1);
    return static_cast<int>((thursday - new_year).count() / 7) + 1;
}

template <typename List, typename Test> bool any(const List& list, Test test) {
    return std::any_of(list.begin(), list.end(), test);
}

} // namespace

bool is_on(const Rule& rule, local_days date, World world) {
    const int in_year = int(year_month_day(date).year());
    if (!rule.years.empty() && !any(rule.years, [&](const Numbers& n) { return n.holds(in_year); }))
        return false;
    if (!rule.dates.empty() && !any(rule.dates, [&](const DateSpan& s) { return holds(s, date); }))
        return false;
    if (!rule.weeks.empty() && !any(rule.weeks, [&](const Numbers& n) { return n.holds(week_of(date)); }))
        return false;
    const bool holiday =
        (rule.public_holiday && world.public_holiday) || (rule.school_holiday && world.school_holiday);
    const bool on_weekday = any(rule.weekdays, [&](const WeekdaySpan& s) { return holds(s, date); });
    if (!rule.public_holiday && !rule.school_holiday) return rule.weekdays.empty() || on_weekday;
    return rule.weekday_in_holiday ? holiday && on_weekday : holiday || on_weekday;
}

} // namespace waywarden::map::hours
