#pragma once

#include "map/ground.hpp"

#include <cstdint>
#include <string>

/// Bridges of ways, and those that carry nobody any more.
namespace waywarden::map {

struct BridgeReading {
    enum class State : std::uint8_t {
        none,    ///< no bridge is recorded, or one that floods and is crossed like a ford
        stands,  ///< nothing says that it does not
        gone,    ///< recorded as fallen, closed, no longer or not yet there
        unclear, ///< a word that is not known: it may mean that there is none
    };
    State state = State::none;
    std::string word; ///< of a bridge that is gone or unclear: "collapsed"
};

/// Source: OSM wiki, Key:bridge, Key:bridge:structure, Key:bridge:movable, Lifecycle prefix (from memory). Of
/// several words and tags the worst counts.
BridgeReading read_bridge(const Tags& tags);

/// Whether tags beside it say that what is built there no longer is: demolished=yes,
/// bridge:condition=collapsed. The word, "" if none.
std::string fallen_word(const Tags& tags);

} // namespace waywarden::map
