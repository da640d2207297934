#pragma once

#include "match/trace.hpp"

namespace waywarden::match {

/// Decides along which ways, or over which open ground, the drawn line goes.
Trace match(const route::Route& route, const map::Ground& ground);

} // namespace waywarden::match
