#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace waywarden::map {

/// How a map is credited that says nothing of where it comes from (ODbL 1.0, 4.3).
inline constexpr std::string_view k_osm_attribution = "© OpenStreetMap contributors";

constexpr std::size_t k_longest_attribution = 320; ///< bytes; what attribution_of() gives is shorter

/// How a map is credited whose header names this source (HeaderBlock.source, OSM PBF): one line of at most
/// 240 bytes besides the above, not yet made safe to show. OpenStreetMap is left out only where the words say
/// whose rights or which licence the data are under and do not name it; any other source stands after it, for
/// the place a file was fetched from is none that drew it.
std::string attribution_of(std::string_view header_source);

} // namespace waywarden::map
