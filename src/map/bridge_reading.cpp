#include "map/bridge_reading.hpp"

#include "map/kinds.hpp"
#include "map/tag_words.hpp"

#include <algorithm>
#include <array>

namespace waywarden::map {

namespace {

using Word = std::string_view;
using State = BridgeReading::State;

constexpr std::array<Word, 7> k_no_bridge{"", "no", "none", "false", "0", "low_water_crossing", "ford"};

constexpr std::array k_bridges{Word("yes"),
                               Word("true"),
                               Word("1"),
                               Word("bridge"),
                               Word("viaduct"),
                               Word("boardwalk"),
                               Word("cantilever"),
                               Word("movable"),
                               Word("moveable"),
                               Word("trestle"),
                               Word("aqueduct"),
                               Word("covered"),
                               Word("suspension"),
                               Word("simple-suspension"),
                               Word("simple_suspension"),
                               Word("cable-stayed"),
                               Word("cable_stayed"),
                               Word("arch"),
                               Word("beam"),
                               Word("truss"),
                               Word("girder"),
                               Word("slab"),
                               Word("floating"),
                               Word("pontoon"),
                               Word("humpback"),
                               Word("bascule"),
                               Word("drawbridge"),
                               Word("lift"),
                               Word("swing"),
                               Word("retractable"),
                               Word("rolling"),
                               Word("submersible"),
                               Word("tilt"),
                               Word("transporter"),
                               Word("culvert"),
                               Word("overpass"),
                               Word("flyover"),
                               Word("footbridge"),
                               Word("foot"),
                               Word("pedestrian"),
                               Word("wood"),
                               Word("wooden"),
                               Word("timber"),
                               Word("stone"),
                               Word("concrete"),
                               Word("steel"),
                               Word("metal"),
                               Word("plank"),
                               Word("planks"),
                               Word("log"),
                               Word("clapper"),
                               Word("rope"),
                               Word("ramp"),
                               Word("pier"),
                               Word("jetty"),
                               Word("gangway"),
                               Word("causeway"),
                               Word("minor"),
                               Word("small")};

constexpr std::array k_gone{
    Word("abandoned"), Word("disused"),   Word("proposed"),   Word("planned"),     Word("construction"),
    Word("removed"),   Word("collapsed"), Word("destroyed"),  Word("demolished"),  Word("dismantled"),
    Word("razed"),     Word("ruin"),      Word("ruins"),      Word("ruined"),      Word("closed"),
    Word("damaged"),   Word("missing"),   Word("washed_out"), Word("washed_away"), Word("broken"),
    Word("unsafe"),    Word("dangerous"), Word("former"),     Word("gone"),        Word("fallen"),
    Word("lost"),      Word("flooded"),   Word("impassable"), Word("unusable"),    Word("blocked")};

/// Under which a bridge is no longer one.
constexpr std::array<Word, 8> k_prefixes{"abandoned:bridge", "collapsed:bridge", "demolished:bridge",
                                         "destroyed:bridge", "disused:bridge",   "razed:bridge",
                                         "removed:bridge",   "was:bridge"};

/// As tags of their own; abandoned and disused ones may stand and are told of as ways.
constexpr std::array<Word, 9> k_marks{"collapsed", "damaged", "demolished", "destroyed",  "dismantled",
                                      "razed",     "removed", "washed_out", "washed_away"};

BridgeReading by_words(Word value) {
    BridgeReading out{State::stands, ""};
    for (std::string& word : parts_of(value)) {
        if (among(k_bridges, word)) continue;
        if (among(k_no_bridge, word)) return {};
        const State state = among(k_gone, word) ? State::gone : State::unclear;
        if (out.state != State::gone) out = {state, std::move(word)};
    }
    return out;
}

} // namespace

std::string fallen_word(const Tags& tags) {
    for (const Word key : k_marks)
        if (tidied(tags.get(key)) == "yes") return std::string(key);
    for (const Word key : {"bridge:condition", "bridge:status", "bridge:state"})
        if (std::string word = tidied(tags.get(key)); among(k_gone, word)) return word;
    return "";
}

BridgeReading read_bridge(const Tags& tags) {
    if (among(k_no_bridge, tidied(tags.get("bridge")))) {
        for (const Word key : k_prefixes)
            if (yes(tags, key)) return {State::gone, std::string(key.substr(0, key.find(':')))};
        return {};
    }
    BridgeReading out = by_words(tags.get("bridge"));
    if (out.state == State::none || out.state == State::gone) return out;
    if (std::string word = fallen_word(tags); !word.empty()) return {State::gone, std::move(word)};
    return out;
}

} // namespace waywarden::map
