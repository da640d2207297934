#pragma once

#include "map/ground.hpp"
#include "map/hours.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// Tags that hold at certain times: `*:conditional`, opening_hours, seasonal.
namespace waywarden::map {

/// What a value like "no @ (Mar 01-Jul 31); yes @ wet" comes to at a time: the words that may hold then, one
/// where that is known. Nothing stands for the plain key: no condition holds.
struct ConditionalReading {
    std::vector<std::optional<std::string>> possible;
    bool readable = true; ///< false: anything may hold
    std::string because;  ///< why more than one is possible, in words; "" where one is
    bool known() const { return readable && possible.size() == 1; }
};

/// A later clause that holds takes the place of an earlier one. Conditions on times are weighed as opening
/// hours; on the weather, on vehicles and on anything else they are unknown. Never throws for any bytes.
/// Source: OpenStreetMap wiki, Conditional restrictions.
ConditionalReading conditional_at(std::string_view value, const At& when);

/// A word of `locked` that is neither yes nor no: "night", "sometimes".
bool is_odd_lock(std::string_view locked);

/// The tags by which walkers may be let through or kept out at certain times, as "key=value".
std::vector<std::string> timed_tags(const Tags& tags);

/// Whether opening_hours and seasonal let somebody through; nothing said is open. `seasonal=summer` is taken
/// as open in the three months of summer, closed in those of winter and unknown between; likewise the others;
/// common practice, no source.
HoursReading open_by_hours(const Tags& tags, const At& when);

/// The time in words: "2027-05-15 14:20", "2027-05-15 between 13:50 and 14:45", "2027-05-15".
std::string words_of(const At& when);

} // namespace waywarden::map
