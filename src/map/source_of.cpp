#include "map/source_of.hpp"

#include "error.hpp"

#include <fmt/format.h>
#include <osmium/osm/timestamp.hpp>

#include <algorithm>

namespace waywarden::map {

namespace {

std::string iso_8601(std::int64_t seconds) {
    return osmium::Timestamp(static_cast<std::uint32_t>(seconds)).to_iso();
}

} // namespace

Source source_of(const MapFile& file) {
    Source source;
    source.path = file.path();
    source.attribution = attribution_of(file.named_source());
    const osmium::Box box = file.header().boxes().empty() ? osmium::Box{} : file.header().joined_boxes();
    if (box.valid())
        source.bounds = Box{box.bottom_left().lon(), box.bottom_left().lat(), box.top_right().lon(),
                            box.top_right().lat()};
    const std::string replicated = file.header().get("osmosis_replication_timestamp");
    source.data_until_from_header = !replicated.empty();
    if (!replicated.empty()) source.data_until = replicated;
    return source;
}

void take_nodes_into(Source& source, std::uint64_t count, const Box& seen, std::int64_t newest_s) {
    if (header_says_it(source)) return;
    if (count > 0) source.node_bounds = seen;
    if (!source.data_until && newest_s > 0) source.data_until = iso_8601(newest_s);
}

void take_ways_into(Source& source, std::uint64_t count, std::int64_t newest_s) {
    if (count == 0)
        throw DataError(fmt::format(
            "{}: holds no ways at all; it is not a map extract or was cut short: fetch or make it again",
            source.path));
    if (!source.data_until_from_header && newest_s > 0)
        source.data_until = std::max(source.data_until.value_or(""), iso_8601(newest_s));
}

} // namespace waywarden::map
