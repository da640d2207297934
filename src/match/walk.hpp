#pragma once

#include "match/line_model.hpp"
#include "match/trace.hpp"

namespace waywarden::match {

/// Turns the places chosen into stretches and appends them to the trace.
void append_walk(const Network& network, const MatchPlane& plane, const DrawnLine& drawn,
                 const std::vector<Observation>& line, const Solution& solution, const ErrorModel& model,
                 Trace& trace);

} // namespace waywarden::match
