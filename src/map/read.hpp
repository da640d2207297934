#pragma once

#include "map/ground.hpp"

#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace waywarden::map {

/// Where the map is wanted: lines, and how far to each side.
struct Corridor {
    std::vector<std::vector<geo::Position>> lines;
    double reach_m =
        400; ///< ways and tagged nodes within this of a line are kept; whole areas that contain any of it too
    double around_m = 2000; ///< roads and paths within this are kept as Ground::around: half an hour on foot
    double shares_m = 5000; ///< roads and paths within this are counted in Ground::tagged_lengths
};

struct ReadOptions {
    int threads = 2;
    std::function<void(double share_done)> progress; ///< called now and then, from one thread; may be empty
};

/// Reads .osm.pbf, .osm, .osm.gz, .osm.bz2, .opl (and .opl.gz), several at once: the newest version of an
/// object wins. Memory follows the corridor, not the files. Throws DataError where a file is damaged, missing
/// or of no known format.
Ground read(std::span<const std::string> paths, const Corridor& corridor, const ReadOptions& options = {});

/// The same from memory, for tests: `format` as libosmium names it ("opl", "osm", "pbf").
Ground read_text(std::string_view bytes, const std::string& format, const Corridor& corridor);

} // namespace waywarden::map
