#pragma once

#include "geo/grid_reference.hpp"
#include "match/walker.hpp"

#include <vector>

/// Where on the ways a checkpoint can be that a card names by a grid reference, that is by a square.
namespace waywarden::match {

/// A square of a grid on the matching plane; the grid's north need not be the plane's.
class SquareOnPlane {
  public:
    SquareOnPlane(const geo::GridSquare& square, const MatchPlane& plane);
    geo::Metres2 middle() const { return m_middle; }
    double half_m() const { return m_half_m; } ///< half its side
    /// How far a place lies outside, 0 within: along the axis on which it is farther out.
    double outside_m(geo::Metres2 p) const;

  private:
    geo::Metres2 m_middle, m_east; ///< m_east of length 1
    double m_half_m;
};

/// A place on a way that the checkpoint may be.
struct Spot {
    Place place;
    double outside_m = 0; ///< of the square
    bool off = false;     ///< there is no way in the square; this is the nearest, so far from its middle:
    double off_m = 0;
};

/// One place for every way in the square: where it comes nearest to the middle; a junction once. Just outside
/// counts too, by what is misread on a paper map. Where no way is there: the ways nearest to the middle;
/// empty where none is within a kilometre. Ways nobody walks along (`efforts`) are left out.
std::vector<Spot> spots_in(const SquareOnPlane& square, const Network& network,
                           const std::vector<Effort>& efforts);

} // namespace waywarden::match
