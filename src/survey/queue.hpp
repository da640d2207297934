#pragma once

#include <optional>
#include <string_view>

/// How long many people take to get through a place that lets one through at a time. Pure functions; every
/// figure is common practice, no source: people, packs, dogs and mud differ.
namespace waywarden::survey {

/// Seconds from one walker to the next at a barrier of a kind as the map writes it (`barrier=…`): a stile
/// 15 s, a step over 8 s, a kissing gate 6 s, a gate that is held open and a gap in single file 1 s. None
/// where the kind lets nobody through, or is not known: then nobody can say.
std::optional<double> pass_s_per_walker(std::string_view barrier_kind);

/// The same for a way that is recorded as so wide: 1 s in single file below 1.2 m; none where two go abreast.
std::optional<double> narrow_s_per_walker(double width_m);

/// Minutes from the first walker's turn to the last one being through, where all stand there together: the
/// longest anybody waits. `walkers` 1 or more.
double queue_min(double s_per_walker, int walkers);

} // namespace waywarden::survey
