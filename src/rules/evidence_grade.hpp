#pragma once

#include "rules/gather.hpp"

#include <cstdint>

namespace waywarden::rules {

/// How well the facts that decided are known: the weakest counts. A finding that rests on a missing tag is at
/// most inferred. Recent needs check_date or survey:date of the last two years on every object; an edit is no
/// verification. `today_s` 0: the day of the check is not known, and nothing is recent.
EvidenceGrade grade_of(const Run& run, std::int64_t today_s);

/// The Unix time of an ISO date (2026-05-15), 2026-05 or 2026 (their first day); none where it is no date.
std::optional<std::int64_t> date_s(const std::string& text);

/// The day that ages in the survey were counted to; 0 where it is not known.
std::int64_t day_of_check_s(const survey::Survey& survey);

} // namespace waywarden::rules
