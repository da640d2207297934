#include "geo/zoned_time.hpp"

#include <algorithm>
#include <array>
#include <charconv>

namespace waywarden::geo {

namespace {

using namespace std::chrono;

constexpr int k_first_year = 1996; // before it the summer time of the UK and Ireland ended on other days

constexpr std::array<std::string_view, 10> k_western{
    "Europe/London",  "Europe/Dublin", "Europe/Isle_of_Man", "Europe/Jersey",   "Europe/Guernsey",
    "Europe/Belfast", "Europe/Lisbon", "Atlantic/Faroe",     "Atlantic/Canary", "WET"};

constexpr std::array<std::string_view, 17> k_central{"Europe/Paris",
                                                     "Europe/Berlin",
                                                     "Europe/Brussels",
                                                     "Europe/Amsterdam",
                                                     "Europe/Luxembourg",
                                                     "Europe/Copenhagen",
                                                     "Europe/Oslo",
                                                     "Europe/Stockholm",
                                                     "Europe/Zurich",
                                                     "Europe/Vienna",
                                                     "Europe/Rome",
                                                     "Europe/Madrid",
                                                     "Europe/Prague",
                                                     "Europe/Warsaw",
                                                     "Europe/Budapest",
                                                     "Europe/Ljubljana",
                                                     "CET"};

constexpr std::array<std::string_view, 4> k_utc{"UTC", "Etc/UTC", "GMT", "Etc/GMT"};

template <std::size_t n> bool among(std::string_view word, const std::array<std::string_view, n>& words) {
    return std::find(words.begin(), words.end(), word) != words.end();
}

bool is_summer_time(UtcSeconds at, year in) {
    const auto change = [in](month m) { return sys_days(in / m / Sunday[last]) + hours(1); };
    return at >= change(March) && at < change(October);
}

/// Whether the text has the shape, where 0 stands for any digit.
bool has_shape(std::string_view text, std::string_view shape) {
    return text.size() == shape.size() &&
           std::equal(text.begin(), text.end(), shape.begin(), [](char is, char wanted) {
               return wanted == '0' ? is >= '0' && is <= '9' : is == wanted;
           });
}

int number_at(std::string_view text, std::size_t from, std::size_t digits) {
    int value = 0;
    std::from_chars(text.data() + from, text.data() + from + digits, value);
    return value;
}

} // namespace

std::optional<seconds> utc_offset(std::string_view zone, UtcSeconds at) {
    if (among(zone, k_utc)) return seconds(0);
    const bool western = among(zone, k_western);
    if (!western && !among(zone, k_central)) return std::nullopt;
    const year in = year_month_day(floor<days>(at)).year();
    if (in < year(k_first_year)) return std::nullopt;
    return hours(western ? 0 : 1) + hours(is_summer_time(at, in) ? 1 : 0);
}

std::optional<LocalSeconds> to_local(std::string_view zone, UtcSeconds at) {
    const auto offset = utc_offset(zone, at);
    if (!offset) return std::nullopt;
    return LocalSeconds((at + *offset).time_since_epoch());
}

std::optional<UtcSeconds> to_utc(std::string_view zone, LocalSeconds at) {
    const UtcSeconds as_utc(at.time_since_epoch());
    // The clock is an hour ahead at most in summer: try the greater offset first, then the lesser.
    const auto later = utc_offset(zone, as_utc - hours(3)), earlier = utc_offset(zone, as_utc + hours(3));
    if (!later || !earlier) return std::nullopt;
    for (const seconds offset : {std::max(*later, *earlier), std::min(*later, *earlier)})
        if (utc_offset(zone, as_utc - offset) == offset) return as_utc - offset;
    return as_utc - std::min(*later, *earlier);
}

std::optional<WrittenTime> read_time(std::string_view text) {
    const bool has_clock = has_shape(text, "0000-00-00T00:00") || has_shape(text, "0000-00-00T00:00:00");
    if (!has_clock && !has_shape(text, "0000-00-00")) return std::nullopt;
    const year_month_day date{year{number_at(text, 0, 4)},
                              month{static_cast<unsigned>(number_at(text, 5, 2))},
                              day{static_cast<unsigned>(number_at(text, 8, 2))}};
    const int hour = has_clock ? number_at(text, 11, 2) : 0, minute = has_clock ? number_at(text, 14, 2) : 0;
    const int second = text.size() > 16 ? number_at(text, 17, 2) : 0;
    if (!date.ok() || hour > 23 || minute > 59 || second > 59) return std::nullopt;
    return WrittenTime{local_days(date) + hours(hour) + minutes(minute) + seconds(second), has_clock};
}

} // namespace waywarden::geo
