#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

/// Figures as people write them into a table: `3,4 km`, `1h20`, `NE`, `0930`. Each reader gives nothing for
/// what it does not understand; none guesses.
namespace waywarden::route {

/// A word in lower case, ASCII only.
std::string lower(std::string_view text);

/// A number at the beginning of the text with a decimal point or a decimal comma; what follows it is the
/// unit, lower case without blanks and dots. A leading `~`, `c.` or `+` goes.
struct Quantity {
    double value = 0;
    int decimals = 0;
    std::string unit;
};
std::optional<Quantity> read_quantity(std::string_view text);

/// Metres that one of a unit of length has (m, km, mi, yd, ft and their words); none for another word.
/// Mile, yard and foot are the international ones (1 yd = 0.9144 m, agreement of 1959).
std::optional<double> metres_of(std::string_view unit);
/// Minutes of a unit of time (min, h and their words).
std::optional<double> minutes_of(std::string_view unit);

/// A length. `unit` is that of the column, "" where it names none: then the cell must have one.
struct ReadLength {
    double metres = 0;
    double step_m = 0; ///< how finely it was written
};
std::optional<ReadLength> read_length(std::string_view text, std::string_view unit);

/// Minutes: `80`, `80 min`, `1h20`, `1 h 20 min`, `1:20`, `01:20:00`, `1.5 h`. `unit` as above.
std::optional<double> read_minutes(std::string_view text, std::string_view unit);

/// A time of day: `09:30`, `9.30`, `0930`, `9h30`, `9:30 am`, `09:30:00`, `noon`.
std::optional<std::chrono::seconds> read_clock(std::string_view text);

/// `045`, `45°`, `045 mag`, `45M`, `NE`, `north-east`, `NE (045)`.
struct ReadDirection {
    double degrees = 0;
    double step_deg = 1;
    bool magnetic = false, grid = false; ///< as the cell itself says
};
std::optional<ReadDirection> read_direction(std::string_view text);

/// `2027-05-15`, `15/05/2027`, `15.5.27`, `15 May 2027`, `Sat 15 May 2027`, as ISO text. `day_first` says
/// that day and month could have been read the other way round.
struct ReadDate {
    std::string iso;
    bool day_first = false;
};
std::optional<ReadDate> read_date(std::string_view text);

} // namespace waywarden::route
