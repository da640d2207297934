#include "cli/date.hpp"

#include "error.hpp"

#include <fmt/format.h>

#include <charconv>
#include <chrono>

namespace waywarden::cli {

namespace {

[[noreturn]] void refuse(const std::string& text) {
    throw ArgumentError(
        fmt::format("--start {}: is no date; write it as 2027-05-15T09:30 or 2027-05-15", text));
}

unsigned number(const std::string& text, std::size_t from, std::size_t digits) {
    unsigned value = 0;
    const char* begin = text.data() + from;
    const auto [end, error] = std::from_chars(begin, begin + digits, value);
    if (error != std::errc() || end != begin + digits) refuse(text);
    return value;
}

/// Whether the text has the shape, where 0 stands for any digit.
bool has_shape(const std::string& text, std::string_view shape) {
    if (text.size() != shape.size()) return false;
    for (std::size_t i = 0; i < shape.size(); ++i) {
        const bool digit = text[i] >= '0' && text[i] <= '9';
        if (shape[i] == '0' ? !digit : text[i] != shape[i]) return false;
    }
    return true;
}

} // namespace

std::int64_t parse_start(const std::string& text) {
    using namespace std::chrono;
    const bool timed = has_shape(text, "0000-00-00T00:00") || has_shape(text, "0000-00-00T00:00:00");
    if (!timed && !has_shape(text, "0000-00-00")) refuse(text);
    const year_month_day date{year{static_cast<int>(number(text, 0, 4))}, month{number(text, 5, 2)},
                              day{number(text, 8, 2)}};
    const unsigned hour = timed ? number(text, 11, 2) : 0, minute = timed ? number(text, 14, 2) : 0;
    const unsigned second = text.size() > 16 ? number(text, 17, 2) : 0;
    if (!date.ok() || hour > 23 || minute > 59 || second > 59) refuse(text);
    const auto time = sys_days{date} + hours{hour} + minutes{minute} + seconds{second};
    return duration_cast<seconds>(time.time_since_epoch()).count();
}

std::int64_t parse_day(const std::string& option, const std::string& text) {
    using namespace std::chrono;
    if (has_shape(text, "0000-00-00")) {
        const year_month_day date{year{static_cast<int>(number(text, 0, 4))}, month{number(text, 5, 2)},
                                  day{number(text, 8, 2)}};
        if (date.ok()) return duration_cast<seconds>(sys_days{date}.time_since_epoch()).count();
    }
    throw ArgumentError(fmt::format("{} {}: is no date; write it as 2027-05-15", option, text));
}

std::int64_t now_s() {
    using namespace std::chrono;
    return duration_cast<seconds>(system_clock::now().time_since_epoch()).count();
}

std::int64_t today_s() {
    using namespace std::chrono;
    return duration_cast<seconds>(floor<days>(system_clock::now()).time_since_epoch()).count();
}

} // namespace waywarden::cli
