#pragma once

#include "report/html_plane.hpp"

#include <string>
#include <vector>

/// Pieces of SVG for the map of the HTML report.
namespace waywarden::report {

/// Path data of a line, relative and in whole metres, as short as that goes; "" where nothing is left.
std::string path_data(const std::vector<PlanePoint>& points, bool closed);
std::string path_data(const MapPlane& plane, const std::vector<geo::Position>& line, bool closed = false);

/// Levels of detail of names and marks: shown where a pixel is at most so many metres wide.
constexpr int k_name_levels = 4;
constexpr double k_level_m_per_px[k_name_levels] = {27, 13.5, 6.7, 3.4};

/// A numbered sign of a finding: where it stands, moved aside by so many pixels where others stand already.
struct PlacedSign {
    std::size_t number = 0; ///< from 1, as every report counts
    const rules::Finding* finding = nullptr;
    PlanePoint at;
    int aside_x_px = 0, aside_y_px = 0;
};

/// A name with where it goes and from which level on (0: always) it finds room.
struct PlacedName {
    const survey::PictureName* name = nullptr;
    PlanePoint at;
    double turn_deg = 0; ///< clockwise from level
    int level = 0;
};
/// Names that find room beside one another and the signs, by weight; those for which there is none at any
/// level are left out.
std::vector<PlacedName> place_names(const MapPlane& plane, const std::vector<survey::PictureName>& names,
                                    const std::vector<PlacedSign>& signs);

/// Signs stand clear of one another, and of the ends of the walk, where a pixel is `m_per_px` wide and below.
std::vector<PlacedSign> place_signs(const MapPlane& plane, const Assessed& route, double m_per_px);

/// The place on the walk at a distance along it.
geo::Position walked_at(const std::vector<survey::StretchSurvey>& stretches, double at_m);

/// An id in the page: "r1-f3". Routes and things are counted from 1.
std::string page_id(std::size_t route, const char* kind, std::size_t number);

} // namespace waywarden::report
