#pragma once

#include "map/collect.hpp"

namespace waywarden::map {

/// Everything gathered from the files, ready to be made into a Ground.
struct Gathered {
    osmium::memory::Buffer relations{1024, osmium::memory::Buffer::auto_grow::yes};
    osmium::memory::Buffer ways{1024, osmium::memory::Buffer::auto_grow::yes};
    Deleted deleted_relations, deleted_ways;
    KnownNodes nodes;
    bool located =
        false; ///< the nodes of the ways have their places already; `nodes` has only the tagged ones
    std::vector<Object> tagged;
};

/// Keeps the lines that pass near the corridor, the areas that touch or hold it, and what was wrong with
/// them. `ground.sources` is left alone.
struct Nets {
    const CorridorNet& near; ///< what is kept
    const CorridorNet& wide; ///< farther out: what is wet and not whole is told of from here on
};

/// Whether a route is to be told of what is wrong with an object, and if so whereabouts on it; the same for a
/// route read alone and for one of several.
bool localise(Shortfall& shortfall, const Corridor& corridor, const Nets& nets);

void build_ground(Gathered& gathered, const Corridor& corridor, const Nets& nets, Ground& ground);

/// Whether a closed ring of positions holds a place (even-odd rule, on the plane of longitude and latitude;
/// 180 degrees is no edge).
bool ring_holds(const std::vector<geo::Position>& ring, geo::Position p);

} // namespace waywarden::map
