#pragma once

#include "rules/rule.hpp"

#include <set>
#include <string>
#include <vector>

/// From single subjects that fire a rule to the findings a leader reads.
namespace waywarden::rules {

/// A subject that fires a rule.
struct Shot {
    double from_m = 0, to_m = 0;
    double length_m = 0; ///< what the finding counts; of a gap it is on the ground, where to_m equals from_m
    geo::Position position;
    Level level = Level::note;
    bool unknown = false;
    const survey::Facts* facts = nullptr;
    std::vector<const survey::Evidence*> evidence;
    std::set<std::string> deciding; ///< facts that made the condition come out so
    std::string doubt;              ///< "" or the two readings of the line between which it cannot be told
};

/// Shots that become one finding: neighbours on the walk, in its order.
using Run = std::vector<Shot>;

/// Shots in order of the walk joined where no more than `within_m` lies between them.
std::vector<Run> joined(std::vector<Shot> shots, double within_m);

/// One finding for a run; none where it is shorter than the rule asks. `today_s` is 0 where it is not known.
std::optional<Finding> make_finding(const Rule& rule, const Run& run, const Setting& setting,
                                    std::int64_t today_s);

/// Fewer findings of one rule, as its `gather` says. They are given and returned in order of the walk.
std::vector<Finding> gathered(const Rule& rule, std::vector<Finding> findings);

} // namespace waywarden::rules
