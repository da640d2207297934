#pragma once

#include "geo/position.hpp"

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <vector>

/// Maps of a few objects, written as drawings and read by the program as files.
///
///     . . . N . .        one character across and one line down are the same number of metres;
///     0 A . X . B        every letter or digit is a node, once; `.` and blanks are empty ground
///     . . . S . .
///
/// Objects are lines of the letters of their nodes and their tags: two letters or more are a way, one is a
/// node, `?` is a node that the file lacks. A word without `=` belongs to the value before it, or stands for
/// some tags where it comes first (`footpath`, `street`; see tiny_map.cpp); a later tag replaces an earlier
/// one, and an empty one takes it away.
///
///     AXB footpath
///     NXS highway=secondary maxspeed=60 mph
///     X highway=crossing
///
/// The lower left corner of the drawing is at 56 N 3 E, on an invented island in the North Sea. The map holds
/// a node at each corner 500 m beyond the drawing, so that it covers all of it; a `!` in the drawing moves
/// that edge: the map then ends at the column of the `!`, and only the letters west of it are on it.
namespace waywarden::twins {

using TagList = std::map<std::string, std::string>;

struct MapNode {
    std::int64_t id = 0;
    geo::Position position;
    TagList tags;
};

struct MapWay {
    std::int64_t id = 0;
    std::vector<std::int64_t> nodes;
    TagList tags;
    bool closed() const { return nodes.front() == nodes.back(); }
};

/// An area of several ways: a multipolygon with these as its outer ring.
struct MapRelation {
    std::int64_t id = 0;
    std::vector<std::int64_t> outer;
    TagList tags;
};

struct TinyMap {
    std::vector<MapNode> nodes;
    std::vector<MapWay> ways;
    std::vector<MapRelation> relations; ///< none on a drawing; an edit makes them
};

/// Where the letters of a drawing lie.
class Drawing {
  public:
    Drawing(std::string_view drawing, double metres_per_cell); ///< throws std::invalid_argument
    geo::Position at(char letter) const;                       ///< throws std::invalid_argument
    /// Throws std::invalid_argument where an object cannot be read.
    TinyMap map(const std::vector<std::string>& objects) const;

  private:
    geo::Position place(double column, double row) const;
    std::map<char, geo::Position> m_places;
    double m_cell_m;
    double m_west = -1, m_south = -1, m_east = 1, m_north = 1; ///< of the map, in cells
    double m_east_of_map = 1e9;                                ///< column of the `!`
    std::map<char, double> m_columns;
};

std::string opl_of(const TinyMap& map);

/// GPX 1.1 of a walk over letters: a blank begins a new segment, `@` is a point at latitude 0 and longitude
/// 0, `%` exchanges latitude and longitude of the letter after it. Points stand `every_m` apart or less; at
/// letters only where that is 0. `more` is put in before the track.
std::string gpx_of(const Drawing& drawing, std::string_view walk, double every_m, const std::string& more);

/// Something that changes nothing on the ground, done to the map or to the file of the walk.
struct Change {
    std::string name;
    TinyMap (*of_map)(TinyMap) = nullptr;
    std::string (*of_gpx)(const std::string&) = nullptr;
};
const std::vector<Change>& harmless_changes();

} // namespace waywarden::twins
