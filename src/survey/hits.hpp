#pragma once

#include "survey/scene.hpp"
#include "survey/survey.hpp"
#include "survey/water.hpp"

#include <vector>

/// Finding crossings: four ways in which a walk can get from one side of something to the other.
namespace waywarden::survey {

/// A crossing as it was found, before it is described.
struct Hit {
    enum class How : std::uint8_t { shared_node, staggered, cut, area };
    How how = How::cut;
    CrossingOf of = CrossingOf::road;
    Means means = Means::none;
    std::size_t walk = 0;        ///< which segment of the route
    double at_m = 0;             ///< along the route as drawn
    double from_m = 0, to_m = 0; ///< differ where the walk goes along it: staggered, or through an area
    geo::Position position;
    geo::Metres2 at;
    std::optional<map::WayIndex> way;     ///< what is crossed, where it is a line
    const map::Area* area = nullptr;      ///< or an area of water; with a line: the line's own area
    std::vector<map::WayIndex> also;      ///< the rest of the road where it changes its way number
    std::optional<map::WayIndex> walked;  ///< what the walkers are on; none: open ground, or staggered
    map::NodeIndex node = map::k_no_node; ///< the node shared
};

/// Lines met at a node of the walk and left on the other side.
void find_at_shared_nodes(const Scene& scene, std::vector<Hit>& out);

/// Roads and rails joined from one side, walked along and left on the other: one crossing in the middle of
/// the piece walked along. None where the road does not go on beyond where it is joined or left: at a dead
/// end there is nothing to cross.
void find_staggered(const Scene& scene, std::vector<Hit>& out);

/// Lines cut by the walk where no node is shared; walls and fences too where the walk is on open ground.
void find_cuts(const Scene& scene, std::vector<Hit>& out);

/// Water areas, tidal flats and the sea entered and left. An area whose centre line is among the hits already
/// found is noted there and is no hit of its own. Pieces of 20 m and more that nothing carries are hits of
/// their own, whatever leads over the rest.
void find_water_areas(const Scene& scene, const AreaFinder& finder, const std::vector<WaterSpan>& waters,
                      std::vector<Hit>& hits);

/// Fords recorded on a node of the walk where no water is found: streams are often not mapped. Their hits
/// have neither a way nor an area. To be called last.
void find_fords(const Scene& scene, std::vector<Hit>& hits);

/// What is crossed: the line, else the area, else the node of a ford.
const map::Object& object_of(const Scene& scene, const Hit& hit);

/// A ford by the tags of a node (OSM wiki, Key:ford; highway=ford is the old way to write it).
bool is_ford(const map::Tags& tags);

/// A ford's node stands for a place this large.
constexpr double k_ford_m = 10;

/// Whether the walk begins or ends within so many standard errors of the drawn line (at most 5 m) of one of
/// its points: on which side of a road there it does is then left to chance, and a route that starts at a
/// junction has not crossed it. Small for a crossing that is there or not, larger where only the side is in
/// doubt.
bool is_stub(const Scene& scene, const Walk& walk, std::size_t point, double errors);
constexpr double k_stub_at_node = 0.4, k_stub_of_side = 1.5;

/// The means by which a walk on one way (none: open ground) gets over a line it cuts. The tag counts
/// whichever of the two carries it.
Means means_over(const Scene& scene, std::optional<map::WayIndex> walked, map::WayIndex crossed);

/// A place part of the way between two points of the walk.
struct PlaceOnWalk {
    geo::Metres2 at;
    double at_m = 0;
};
PlaceOnWalk between(const WalkPoint& a, const WalkPoint& b, double share);

/// All of the above, by walk and then by at_m.
std::vector<Hit> find_hits(const Scene& scene, const AreaFinder& finder,
                           const std::vector<WaterSpan>& waters);

} // namespace waywarden::survey
