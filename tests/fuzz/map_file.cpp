// Maps through the whole reader. The first byte chooses XML, OPL or PBF; the last is read from a file, as its
// blobs are looked at by themselves.
#include "fuzz/fuzz.hpp"
#include "map/read.hpp"

#include <cmath>

namespace waywarden::fuzz {

void target(std::string_view bytes) {
    if (bytes.empty()) return;
    const char* formats[] = {"osm", "opl", "pbf"};
    const auto format = formats[static_cast<unsigned char>(bytes.front()) % 3];
    bytes.remove_prefix(1);
    const map::Corridor corridor{{{{3.00, 56.00}, {3.02, 56.01}}}};
    const map::Ground ground = format == std::string_view("pbf")
                                   ? map::read(std::vector{file_with(bytes, ".pbf")}, corridor)
                                   : map::read_text(bytes, format, corridor);
    for (const auto* ways : {&ground.ways, &ground.around})
        for (const map::Way& way : *ways) {
            must(way.nodes.size() >= 2, "a way of fewer than two nodes");
            for (const map::NodeIndex node : way.nodes)
                must(node < ground.nodes.size(), "a way through a node that is not there");
        }
    for (std::size_t i = 0; i + 1 < ground.nodes.size(); ++i)
        must(ground.nodes[i].id < ground.nodes[i + 1].id, "nodes out of order");
    for (const map::Area& area : ground.areas)
        for (const auto& polygon : area.polygons)
            must(polygon.outer.size() >= 4 && polygon.outer.front() == polygon.outer.back(), "an open ring");
}

} // namespace waywarden::fuzz
