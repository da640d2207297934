#pragma once

#include "map/ground.hpp"
#include "match/trace.hpp"
#include "route/route.hpp"

#include <map>
#include <string>
#include <string_view>
#include <vector>

/// The test language: a map as a drawing, the rest as lines of OPL that name its letters.
///
///     const Sketch sketch(R"(
///         . . D . .
///         A . B . C
///         . . E . .
///     )", 50, {
///         "w1 Thighway=residential NABC",
///         "w2 Thighway=footway NDBE",
///         "nB Thighway=crossing"});
///     const auto trace = sketch.trace("2:DBE");
///
/// Every letter or digit of the drawing is a node, once; its id is its character code. `.` and blanks are
/// empty ground. One character across and one line down are the given number of metres, so that a drawing
/// with a blank between its letters is twice as wide as it is high. The lower left corner of the text is at
/// 56 N 3 E, on an invented island in the North Sea; y runs north.
///
/// Objects: `w` way, `n` node, `r` relation, then an id (a letter for nodes), then in any order `T` tags as
/// OPL writes them (comma between tags, %20% for a blank), `N` the letters of a way's nodes, `M` members such
/// as `Mw1@outer,w2@inner`, `t` the time of the last edit (2026-06-01T00:00:00Z where not given).
namespace waywarden::test {

class Sketch {
  public:
    /// Throws std::invalid_argument where the drawing or an object cannot be read.
    Sketch(std::string_view drawing, double metres_per_cell, const std::vector<std::string>& objects);

    const map::Ground& ground() const { return m_ground; }
    const std::string& opl() const { return m_opl; } ///< the whole map as OPL
    geo::Position at(char letter) const;

    /// A route drawn over the letters as given; a blank begins a new segment.
    route::Route route(std::string_view letters) const;

    /// An exact walk: parts separated by blanks, `WAY:LETTERS` along a way or `-:LETTERS` over open ground;
    /// `|` begins a new segment. A letter that is no node of the way is a place in mid-edge.
    /// Confidence is 1, the error 1 m, and metres are those of the route `route_of(walk)`.
    match::Trace trace(std::string_view walk) const;

    /// The drawn route that goes exactly where the walk goes.
    route::Route route_of(std::string_view walk) const;

    map::WayIndex way(std::int64_t id) const; ///< throws std::invalid_argument where there is none

  private:
    void draw(std::string_view drawing, double metres_per_cell);
    std::string compose(const std::vector<std::string>& objects) const;
    match::TracePoint point(char letter, double at_m, const map::Way* way) const;

    std::map<char, geo::Position> m_places;
    std::string m_opl;
    map::Ground m_ground;
};

/// Metres of `at_m` at a letter's place are easier to write so: length of the walk over the letters.
double metres_over(const Sketch& sketch, std::string_view letters);

} // namespace waywarden::test
