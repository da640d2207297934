#pragma once

#include <chrono>
#include <optional>
#include <string_view>

/// What the clock on the wall says. Time zones follow one plain rule, not the system's tables, so that a
/// result is the same on every machine: what the rule does not know is unknown.
namespace waywarden::geo {

/// What the clock says at a place, as seconds on its own calendar.
using LocalSeconds = std::chrono::local_seconds;
using UtcSeconds = std::chrono::sys_seconds;

/// How far the clock of an IANA zone is ahead of UTC at an instant. Known are UTC and the zones of western
/// and central Europe that keep the European summer time, from 1996 on: from 01:00 UTC on the last Sunday of
/// March to 01:00 UTC on the last Sunday of October (Directive 2000/84/EC and, in the UK, the Summer Time
/// Order 2002, SI 2002/262). Nothing for any other zone or year.
std::optional<std::chrono::seconds> utc_offset(std::string_view zone, UtcSeconds at);

std::optional<LocalSeconds> to_local(std::string_view zone, UtcSeconds at);

/// The instant at which the clock says so. An hour that the clock says twice in autumn is taken the first
/// time; an hour that it leaves out in spring counts on from the winter time.
std::optional<UtcSeconds> to_utc(std::string_view zone, LocalSeconds at);

/// A date, or a date and a time of day, as somebody wrote it.
struct WrittenTime {
    LocalSeconds at; ///< midnight where no time of day was written
    bool has_clock = false;
};

/// Reads `2027-05-15`, `2027-05-15T09:30` and `2027-05-15T09:30:00`; nothing for any other text, also for
/// 30 February.
std::optional<WrittenTime> read_time(std::string_view text);

} // namespace waywarden::geo
