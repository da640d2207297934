#include "route/card_values.hpp"

#include "route/text.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace waywarden::route {

namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/// The text with every run of characters that are neither letters, digits nor bytes of UTF-8 gone.
std::string letters_only(std::string_view text) {
    std::string out;
    for (const char c : text)
        if ((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z')) out += c;
    return lower(out);
}

struct Unit {
    const char* name;
    double factor;
};

constexpr Unit k_lengths[] = {
    {"m", 1},        {"metre", 1},      {"metres", 1},       {"meter", 1},         {"meters", 1},
    {"km", 1000},    {"kms", 1000},     {"kilometre", 1000}, {"kilometres", 1000}, {"kilometers", 1000},
    {"k", 1000},     {"mi", 1609.344},  {"mile", 1609.344},  {"miles", 1609.344},  {"yd", 0.9144},
    {"yds", 0.9144}, {"yards", 0.9144}, {"ft", 0.3048},      {"feet", 0.3048},     {"foot", 0.3048},
};
constexpr Unit k_times[] = {
    {"min", 1}, {"mins", 1}, {"minute", 1}, {"minutes", 1}, {"m", 1},
    {"h", 60},  {"hr", 60},  {"hrs", 60},   {"hour", 60},   {"hours", 60},
};

template <std::size_t n> std::optional<double> factor(const Unit (&units)[n], std::string_view name) {
    for (const Unit& unit : units)
        if (name == unit.name) return unit.factor;
    return std::nullopt;
}

/// Whole numbers parted by anything else, and what parts them, lower case without blanks.
struct Parts {
    std::vector<int> numbers;
    std::vector<std::string> between; ///< before the first, after each
};

Parts parts_of(std::string_view text) {
    Parts parts;
    parts.between.emplace_back();
    for (std::size_t at = 0; at < text.size();) {
        if (!is_digit(text[at])) {
            if (text[at] != ' ') parts.between.back() += lower(text.substr(at, 1));
            ++at;
            continue;
        }
        int value = 0;
        for (; at < text.size() && is_digit(text[at]); ++at)
            value = std::min(value * 10 + (text[at] - '0'), 100'000'000);
        parts.numbers.push_back(value);
        parts.between.emplace_back();
    }
    return parts;
}

bool any_of(std::string_view word, std::initializer_list<const char*> words) {
    return std::any_of(words.begin(), words.end(), [&](const char* other) { return word == other; });
}

/// `1h20`, `1 h 20 min`, `1:20`, `01:20:00`.
std::optional<double> hours_and_minutes(std::string_view text) {
    const Parts parts = parts_of(text);
    if (parts.numbers.size() < 2 || !parts.between[0].empty()) return std::nullopt;
    const bool colon = parts.between[1] == ":";
    if (!colon && !any_of(parts.between[1], {"h", "hr", "hrs", "hour", "hours", "hr.", "h."}))
        return std::nullopt;
    if (parts.numbers[1] >= 60 || parts.numbers[0] > 100) return std::nullopt;
    const double minutes = parts.numbers[0] * 60.0 + parts.numbers[1];
    if (parts.numbers.size() == 2) {
        const auto unit = factor(k_times, letters_only(parts.between[2]));
        return parts.between[2].empty() || (unit && (colon || *unit == 1)) ? std::optional(minutes)
                                                                           : std::nullopt;
    }
    if (parts.numbers.size() > 3 || !colon || parts.between[2] != ":" || parts.numbers[2] >= 60)
        return std::nullopt;
    return minutes + parts.numbers[2] / 60.0;
}

/// Clockwise from north in steps of 22.5 degrees.
constexpr std::array<const char*, 16> k_points{"n", "nne", "ne", "ene", "e", "ese", "se", "sse",
                                               "s", "ssw", "sw", "wsw", "w", "wnw", "nw", "nnw"};

/// "north east" to "ne", "N.E." to "ne".
std::string point_letters(std::string_view text) {
    std::string out = letters_only(text);
    for (const auto& [word, letter] : {std::pair{"north", "n"}, {"south", "s"}, {"east", "e"}, {"west", "w"}})
        for (std::size_t at; (at = out.find(word)) != std::string::npos;)
            out.replace(at, std::string_view(word).size(), letter);
    return out;
}

std::optional<ReadDirection> compass_point(std::string_view text) {
    const std::string letters = point_letters(text);
    const auto found = std::find(k_points.begin(), k_points.end(), letters);
    if (found == k_points.end()) return std::nullopt;
    const auto index = static_cast<double>(found - k_points.begin());
    return ReadDirection{index * 22.5, letters.size() == 3 ? 22.5 : 45, false, false};
}

constexpr std::array<const char*, 12> k_months{"jan", "feb", "mar", "apr", "may", "jun",
                                               "jul", "aug", "sep", "oct", "nov", "dec"};

std::string iso_date(int year, int month, int day) {
    const auto two = [](int n) { return std::string(n < 10 ? "0" : "") + std::to_string(n); };
    return std::to_string(year < 100 ? year + 2000 : year) + "-" + two(month) + "-" + two(day);
}

} // namespace

std::string lower(std::string_view text) {
    std::string out(text);
    for (char& c : out)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return out;
}

std::optional<Quantity> read_quantity(std::string_view text) {
    while (!text.empty() && (text[0] == '~' || text[0] == '+' || text[0] == ' '))
        text.remove_prefix(1);
    std::size_t end = 0;
    while (end < text.size() && (is_digit(text[end]) || text[end] == '.' || text[end] == ','))
        ++end;
    std::string digits(text.substr(0, end));
    const auto marks = std::count_if(digits.begin(), digits.end(), [](char c) { return !is_digit(c); });
    if (digits.empty() || marks > 1) return std::nullopt;
    std::replace(digits.begin(), digits.end(), ',', '.');
    const std::size_t point = digits.find('.');
    const auto value = number(digits);
    if (!value) return std::nullopt;
    Quantity out{*value, point == std::string::npos ? 0 : static_cast<int>(digits.size() - point - 1), {}};
    for (const char c : text.substr(end))
        if (c != ' ' && c != '.') out.unit += c;
    out.unit = lower(out.unit);
    return out;
}

std::optional<double> metres_of(std::string_view unit) {
    return factor(k_lengths, unit);
}

std::optional<double> minutes_of(std::string_view unit) {
    return factor(k_times, unit);
}

std::optional<ReadLength> read_length(std::string_view text, std::string_view unit) {
    const auto quantity = read_quantity(text);
    if (!quantity) return std::nullopt;
    const auto metres = metres_of(quantity->unit.empty() ? unit : quantity->unit);
    if (!metres) return std::nullopt;
    double step_m = *metres * std::pow(10, -quantity->decimals);
    if (*metres == 1 && quantity->decimals == 0) // 1200 m was rarely measured to the metre
        while (step_m < 100 && quantity->value != 0 && std::fmod(quantity->value, step_m * 10) == 0)
            step_m *= 10;
    return ReadLength{quantity->value * *metres, step_m};
}

std::optional<double> read_minutes(std::string_view text, std::string_view unit) {
    if (const auto minutes = hours_and_minutes(text)) return minutes;
    const auto quantity = read_quantity(text);
    if (!quantity) return std::nullopt;
    const auto minutes = minutes_of(quantity->unit.empty() ? unit : quantity->unit);
    if (!minutes) return std::nullopt;
    return quantity->value * *minutes;
}

std::optional<std::chrono::seconds> read_clock(std::string_view text) {
    const std::string word = letters_only(text);
    if (any_of(word, {"noon", "midday"})) return std::chrono::hours(12);
    const Parts parts = parts_of(text);
    if (parts.numbers.empty() || !parts.between[0].empty()) return std::nullopt;
    std::string tail = parts.between.back();
    tail.erase(std::remove(tail.begin(), tail.end(), '.'), tail.end());
    const bool am = tail == "am", pm = tail == "pm";
    if (!tail.empty() && !am && !pm && !any_of(tail, {"h", "hrs", "hr", "hours", "z"})) return std::nullopt;
    int hour = parts.numbers[0], minute = 0, second = 0;
    if (parts.numbers.size() == 1) {
        const auto digits = static_cast<std::size_t>(std::count_if(text.begin(), text.end(), is_digit));
        if (digits == 3 || digits == 4) // 930, 0930
            minute = hour % 100, hour /= 100;
        else if (!am && !pm)
            return std::nullopt;
    } else {
        if (!any_of(parts.between[1], {":", ".", "h", ","}) || parts.numbers.size() > 3) return std::nullopt;
        minute = parts.numbers[1];
        if (parts.numbers.size() == 3) second = parts.numbers[2];
    }
    if ((am || pm) && (hour < 1 || hour > 12)) return std::nullopt;
    if (am || pm) hour = hour % 12 + (pm ? 12 : 0);
    if (hour > 23 || minute > 59 || second > 59) return std::nullopt;
    return std::chrono::hours(hour) + std::chrono::minutes(minute) + std::chrono::seconds(second);
}

std::optional<ReadDirection> read_direction(std::string_view text) {
    const std::size_t first = text.find_first_of("0123456789");
    if (first == std::string_view::npos) return compass_point(text);
    const auto quantity = read_quantity(text.substr(first));
    if (!quantity || quantity->value < 0 || quantity->value > 360) return std::nullopt;
    std::size_t end = first;
    while (end < text.size() && (is_digit(text[end]) || text[end] == '.' || text[end] == ','))
        ++end;
    const std::string word = letters_only(text.substr(0, first)) + " " + letters_only(text.substr(end));
    const auto has = [&](std::string_view part) { return word.find(part) != std::string::npos; };
    if (has("mil") || has("gon")) return std::nullopt; // other circles
    ReadDirection out{std::fmod(quantity->value, 360), 1, has("mag") || word == " m" || word == " degm",
                      false};
    out.grid = has("grid") || word == " g";
    return out;
}

std::optional<ReadDate> read_date(std::string_view text) {
    const Parts parts = parts_of(text);
    const auto& n = parts.numbers;
    if (n.size() >= 2 && n.size() <= 3) { // with the month in letters
        const std::string month = letters_only(parts.between[1]);
        for (std::size_t i = 0; i < k_months.size() && month.size() >= 3; ++i) {
            const std::string_view name = k_months[i];
            const std::size_t at = month.find(name);
            const bool ordinal = at == 2 && any_of(month.substr(0, 2), {"st", "nd", "rd", "th"});
            if (at == 0 || ordinal) return ReadDate{iso_date(n[1], static_cast<int>(i) + 1, n[0]), false};
        }
    }
    if (n.size() != 3) return std::nullopt;
    if (n[0] > 1000) return ReadDate{iso_date(n[0], n[1], n[2]), false};
    const bool sane = n[0] >= 1 && n[0] <= 31 && n[1] >= 1 && n[1] <= 12;
    return sane ? std::optional(ReadDate{iso_date(n[2], n[1], n[0]), n[0] <= 12 && n[0] != n[1]})
                : std::nullopt;
}

} // namespace waywarden::route
