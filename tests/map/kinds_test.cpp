#include "map/kinds.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>

// Lifecycle prefixes: OSM wiki, Lifecycle prefix and Key:highway (construction=*, highway=construction).

using namespace waywarden::map;

namespace {

using Pairs = std::vector<std::pair<std::string, std::string>>;

} // namespace

TEST_CASE("a way under a lifecycle prefix is what its value says, in the first state that says anything") {
    const Tags disused(Pairs{{"disused:highway", "tertiary"}});
    CHECK(highway_class(disused) == "tertiary");
    CHECK(lifecycle(disused) == "disused");
    CHECK(line_kind(disused) == LineKind::road);
    // Proposed comes before disused, whatever stands first in the list; "no" says nothing.
    const Tags two(Pairs{{"disused:highway", "tertiary"}, {"proposed:highway", "footway"}});
    CHECK(highway_class(two) == "footway");
    CHECK(lifecycle(two) == "proposed");
    const Tags denied(Pairs{{"abandoned:highway", "track"}, {"construction:highway", "no"}});
    CHECK(highway_class(denied) == "track");
    CHECK(lifecycle(denied) == "abandoned");
    const Tags built(Pairs{{"construction", "path"}, {"highway", "construction"}});
    CHECK(highway_class(built) == "path");
    CHECK(lifecycle(built) == "construction");
    CHECK(line_kind(Tags(Pairs{{"razed:railway", "rail"}})) == LineKind::rail);
    CHECK(lifecycle(Tags(Pairs{{"disused:railway", "rail"}, {"planned:highway", "path"}})) == "planned");
}

// A list of paths is a path, with steps if one of them is (OSM wiki, Semi-colon value separator); of any
// other list nobody knows what runs there.
TEST_CASE("a list of classes") {
    const auto class_of = [](const char* value) {
        return std::string(highway_class(Tags(Pairs{{"highway", value}})));
    };
    CHECK(class_of("path;track") == "path");
    CHECK(class_of("footway; steps") == "steps");
    CHECK(class_of("footway;primary") == "footway;primary");
    CHECK(line_kind(Tags(Pairs{{"highway", "footway;steps"}})) == LineKind::path);
    CHECK(line_kind(Tags(Pairs{{"highway", "footway;primary"}})) == LineKind::road);
    for (const char* value : {";", "path;", ";path", "path;;", " ; "}) // no crash, whatever it is
        class_of(value);
}

TEST_CASE("keys that only look like a prefixed one are none") {
    for (const char* key : {"disusedhighway", "disused:highway:left", "was:highway", ":highway",
                            "old:disused:highway", "disused:motorhighway", "highway:disused"}) {
        CAPTURE(key);
        const Tags tags(Pairs{{key, "path"}});
        CHECK(highway_class(tags).empty());
        CHECK(lifecycle(tags).empty());
        CHECK(line_kind(tags) == LineKind::other);
    }
    const Tags plain(Pairs{{"disused:highway", "footway"}, {"highway", "path"}});
    CHECK(highway_class(plain) == "path");
    CHECK(lifecycle(plain).empty());
}

TEST_CASE("a tag is found among few and among many, and one that is not there is not") {
    std::mt19937 rng(8);
    for (int count = 0; count < 40; ++count) {
        Pairs pairs;
        for (int i = 0; i < count; ++i)
            pairs.emplace_back("key" + std::to_string(i), std::to_string(7 * i));
        std::shuffle(pairs.begin(), pairs.end(), rng);
        const Tags tags(pairs);
        for (int i = 0; i < 40; ++i)
            CHECK(tags.get("key" + std::to_string(i)) == (i < count ? std::to_string(7 * i) : ""));
        CHECK(tags.get("").empty());
    }
}
