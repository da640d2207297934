#pragma once

#include "survey/survey.hpp"

#include <optional>
#include <string>
#include <vector>

namespace waywarden::rules {

enum class Level { note, warning, error };
const char* to_string(Level level);

/// How well the facts behind a finding are known.
enum class EvidenceGrade { explicit_recent, explicit_tag, inferred, presumed, unknown };
const char* to_string(EvidenceGrade grade);

/// What became of a finding since an earlier result; `absent` ones are of the earlier one alone.
enum class State { not_compared, fresh, unchanged, absent };
const char* to_string(State state); ///< "", "new", "unchanged", "absent"

/// Somebody who answers for the walk has looked at the finding and lets it stand.
struct Acceptance {
    std::string by, why, until; ///< role; reason; last day it counts, ISO 8601
};

struct Finding {
    std::string rule;
    std::string title;
    survey::SubjectKind about = survey::SubjectKind::spot; ///< what the rule looks at
    Level level = Level::note;
    double from_m = 0, to_m = 0;
    geo::Position position;
    std::string message;
    std::string advice;
    std::string ask; ///< the same place as a question to those who planned the walk; "": the rule has none
    std::vector<survey::Evidence> evidence;
    std::vector<std::string> grounds; ///< "The Highway Code, rules 1, 2 and 5 (DfT/DVSA)"
    EvidenceGrade grade = EvidenceGrade::unknown;
    bool blocks_vouching = false; ///< the route cannot be vouched for because of this
    bool cannot_tell = false;     ///< judged by the worse of two readings of the line
    int count = 1;                ///< how many subjects were gathered into this one
    State state = State::not_compared;
    std::string state_why;              ///< "" or why it is new or gone, where that can be told
    std::optional<Acceptance> accepted; ///< never of one that blocks vouching; does not count for the verdict
    std::string acceptance_lapsed;      ///< "" or why an acceptance of this finding no longer counts
};

enum class Verdict { no_objection, cautions, objections, cannot_vouch };
const char* to_string(Verdict verdict);
/// cannot_vouch outranks objections, which outranks cautions. Accepted findings do not count.
Verdict verdict_of(const std::vector<Finding>& findings);

} // namespace waywarden::rules
