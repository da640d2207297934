#pragma once

#include "map/ground.hpp"

#include <string>
#include <string_view>

namespace waywarden::map {

/// What the head of a prepared map says of the extracts that it was made from, as wholes.
struct PreparedAbout {
    std::vector<Source> sources; ///< with the paths of the extracts
    std::uint64_t relations = 0, ways = 0;
    Layers layers;
};
std::string to_code(const PreparedAbout& about);
PreparedAbout about_from(std::string_view code); ///< throws Damaged

/// A pbf has no end mark: cut off between two blobs it reads like a whole one, only that what comes last is
/// missing.
void tell_if_cut_short(std::uint64_t relations, std::uint64_t ways, Ground& ground);

} // namespace waywarden::map
