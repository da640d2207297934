#pragma once

#include "assess.hpp"

#include <string>
#include <vector>

/// Findings that somebody who answers for the walk has looked at and lets stand. File format:
/// docs/accepted.md.
namespace waywarden::report {

struct AcceptedFinding {
    rules::Finding finding;   ///< as it was then
    std::string route, party; ///< what it was accepted for
    rules::Acceptance acceptance;
    std::string on;            ///< day it was accepted, ISO 8601
    std::string tool_version;  ///< that found it
    std::string result_sha256; ///< of the result in which it stood
};

/// Throws DataError (file, line, what).
std::vector<AcceptedFinding> read_accepted(const std::string& path);

/// The text of the file with one more entry; `old_text` is what the file holds, or empty where there is none.
/// What stands in it stays, to the letter of every value. Throws DataError where it is no such file.
std::string with_accepted(const std::string& old_text, const std::string& path, const AcceptedFinding& more);

/// Marks the findings that are accepted and counts the verdicts anew. An acceptance holds for one finding: of
/// the same rule, route and party, at the same place (same_place()), not after its last day, and only where
/// nothing got worse: no higher level, no more places, not more than 50 m longer, no other objects, no other
/// tags. Otherwise the finding says why it no longer does. What blocks vouching is never accepted. Gives what
/// was not used, in words.
std::vector<std::string> apply_accepted(Assessment& assessment, const std::vector<AcceptedFinding>& accepted);

} // namespace waywarden::report
