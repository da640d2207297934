#pragma once

#include "map/ground.hpp"
#include "route/route.hpp"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

/// What a report draws of the map around a route.
namespace waywarden::survey {

/// Classes of what is drawn, in the order in which they are painted: areas, then lines.
enum class PictureClass : std::uint8_t {
    sea,     ///< to the right of the coastline
    settled, ///< where people live and work
    grass,
    heath,
    wood,
    sand, ///< also shingle and mud
    rock, ///< also quarries
    wetland,
    water,
    danger, ///< military and kin
    paved,
    building,
    barrier, ///< from here on lines
    cliff,
    coast,
    stream,
    river,
    rail,
    ferry,
    works, ///< under construction, disused, abandoned
    path,
    track,
    lane, ///< service and other small roads
    minor_road,
    major_road,
    motorway,
};
constexpr std::size_t k_picture_classes = static_cast<std::size_t>(PictureClass::motorway) + 1;
const char* to_string(PictureClass of);
inline bool is_area(PictureClass of) {
    return of < PictureClass::barrier;
}

/// A line, or a ring of an area (closed; holes are rings of their own, to be filled by the even-odd rule).
using PictureLine = std::vector<geo::Position>;

struct PictureName {
    std::string text; ///< as the map has it
    enum class Of : std::uint8_t { place, farm, summit, water, wood, road, contour } of = Of::place;
    geo::Position at;
    double weight = 0;       ///< what is larger is written first
    double bearing_deg = 90; ///< that the writing runs along, from true north, over 0 to 180
};

/// A line of equal height of the ground.
struct PictureContour {
    double height_m = 0;
    bool index = false; ///< one of those drawn thicker: every fifth
    PictureLine line;
};

/// Everything near the route, each class in one list.
struct MapPicture {
    std::vector<std::vector<PictureLine>> lines; ///< by class, k_picture_classes of them; or empty: none made
    std::vector<PictureName> names;              ///< by weight
    std::vector<PictureLine> outline;            ///< rings around all that is drawn
    double reach_m = 0;                          ///< how far around the route is drawn
    double detail_m = 0;                         ///< lines are drawn this true
    std::size_t points = 0;                      ///< in all lines
    std::vector<PictureContour> contours;        ///< by height; none where no raster of heights was given
    double contour_step_m = 0;                   ///< between two of them; 0: none were drawn
    double heights_known = 0;                    ///< for how much of the ground, 0 to 1
    std::string heights_words;                   ///< where they are from: HeightModel::words()
};

/// Draws what lies within `reach_m` of the route, cut off there. Lines are simplified to 2 m (Douglas and
/// Peucker, by GEOS), or coarser until they have no more than `most_points`. The same input gives the same
/// picture.
MapPicture map_picture(const route::Route& route, const map::Ground& ground, double reach_m = 400,
                       std::size_t most_points = 120'000);

/// The plane that pictures of a route are made on; nothing where it has no point.
std::optional<geo::LocalFrame> picture_frame(const route::Route& route);
/// The route on it, without empty segments.
std::vector<std::vector<geo::Metres2>> walked_lines(const route::Route& route, const geo::LocalFrame& frame);

} // namespace waywarden::survey
