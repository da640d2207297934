#pragma once

#include "map/hours.hpp"

#include <optional>
#include <vector>

/// The rules of an opening_hours value as they are read; for hours*.cpp alone.
namespace waywarden::map::hours {

enum class Event { none, dawn, sunrise, sunset, dusk };

struct ClockTime {
    Event event = Event::none;
    int minutes = 0; ///< since midnight, up to 48 hours; of an event what is added to it
};

struct TimeSpan {
    ClockTime from, to;
    bool open_end = false; ///< may last longer, nobody says how long
    bool ends = true;      ///< false: "10:00+"
};

/// A number or a range of numbers, every `step` of them.
struct Numbers {
    int first = 0, last = 0, step = 1;
    bool holds(int n) const { return n >= first && n <= last && (n - first) % step == 0; }
};

/// Weekdays are 0 for Sunday to 6.
struct WeekdaySpan {
    unsigned first = 0, last = 0;
    std::vector<int> nth; ///< which of the month, from the end where negative; empty: all
};

struct DatePoint {
    std::optional<int> year;
    bool easter = false;
    unsigned month = 0;
    std::optional<unsigned> day;     ///< none: the whole month
    std::optional<unsigned> weekday; ///< with `nth`: "Su[-1]" of the month
    int nth = 0;
    int offset_days = 0;
};

struct DateSpan {
    DatePoint from, to;
};

struct Rule {
    enum class Link { normal, additional, fallback };
    Link link = Link::normal;
    bool added_to_fallback = false; ///< by commas, to a rule behind bars
    bool readable = true;
    Opening state = Opening::open;
    std::vector<Numbers> years, weeks;
    std::vector<DateSpan> dates;
    std::vector<WeekdaySpan> weekdays;
    bool public_holiday = false, school_holiday = false;
    bool weekday_in_holiday = false; ///< "SH Mo-Fr": both must hold, else either
    std::vector<TimeSpan> times;     ///< empty: the whole day
    std::string_view comment, text;  ///< into the value

    bool names_days() const {
        return !(years.empty() && weeks.empty() && dates.empty() && weekdays.empty()) || public_holiday ||
               school_holiday;
    }
};

/// Reads a value; a part that cannot be read becomes a rule that is not readable.
std::vector<Rule> parse(std::string_view value);

/// What is taken for granted about the day where nobody knows it.
struct World {
    bool public_holiday = false, school_holiday = false;
};

bool is_on(const Rule& rule, std::chrono::local_days day, World world);

} // namespace waywarden::map::hours
