#pragma once

#include "map/file_looks.hpp"
#include "map/ground.hpp"

#include <cstdint>

/// What is told of a file as a whole, from its header or, where that is silent, from its objects.
namespace waywarden::map {

Source source_of(const MapFile& file);

/// Whether bounds and date need not be gathered from the objects.
inline bool header_says_it(const Source& source) {
    return source.bounds && source.data_until_from_header;
}

/// `seen`: the box of all nodes; `newest_s`: the last edit of one, 0 where unknown.
void take_nodes_into(Source& source, std::uint64_t count, const Box& seen, std::int64_t newest_s);
/// Throws DataError where there was no way at all.
void take_ways_into(Source& source, std::uint64_t count, std::int64_t newest_s);

} // namespace waywarden::map
