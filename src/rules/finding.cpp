#include "rules/finding.hpp"

#include "error.hpp"

namespace waywarden::rules {

const char* to_string(Level level) {
    switch (level) {
    case Level::note:
        return "note";
    case Level::warning:
        return "warning";
    case Level::error:
        return "error";
    }
    throw InternalError("a level without a name");
}

const char* to_string(EvidenceGrade grade) {
    switch (grade) {
    case EvidenceGrade::explicit_recent:
        return "explicit_recent";
    case EvidenceGrade::explicit_tag:
        return "explicit";
    case EvidenceGrade::inferred:
        return "inferred";
    case EvidenceGrade::presumed:
        return "presumed";
    case EvidenceGrade::unknown:
        return "unknown";
    }
    throw InternalError("an evidence grade without a name");
}

const char* to_string(State state) {
    switch (state) {
    case State::not_compared:
        return "";
    case State::fresh:
        return "new";
    case State::unchanged:
        return "unchanged";
    case State::absent:
        return "absent";
    }
    throw InternalError("a state without a name");
}

const char* to_string(Verdict verdict) {
    switch (verdict) {
    case Verdict::no_objection:
        return "no_objection";
    case Verdict::cautions:
        return "cautions";
    case Verdict::objections:
        return "objections";
    case Verdict::cannot_vouch:
        return "cannot_vouch";
    }
    throw InternalError("a verdict without a name");
}

Verdict verdict_of(const std::vector<Finding>& findings) {
    Verdict out = Verdict::no_objection;
    for (const Finding& finding : findings) {
        if (finding.blocks_vouching) return Verdict::cannot_vouch;
        if (finding.accepted) continue;
        if (finding.level == Level::error) out = Verdict::objections;
        if (finding.level == Level::warning && out == Verdict::no_objection) out = Verdict::cautions;
    }
    return out;
}

} // namespace waywarden::rules
