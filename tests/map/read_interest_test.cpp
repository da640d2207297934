#include "map/read.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace waywarden;

// Source: OSM data model, Tags: a set of keys without order; a file may hold them in any.
TEST_CASE("what a line is does not depend on the order of its tags") {
    const map::Corridor corridor{{{{1.0, 56.0}, {1.02, 56.0}}}};
    const std::string nodes = "n1 v1 x1.0 y56.0\nn2 v1 x1.02 y56.0\n";
    for (const std::string tags : {"highway=residential,route=bus", "route=bus,highway=residential",
                                   "route=ski,waterway=stream", "route=ferry"}) {
        CAPTURE(tags);
        CHECK(map::read_text(nodes + "w1 v1 T" + tags + " Nn1,n2\n", "opl", corridor).ways.size() == 1);
    }
    CHECK(map::read_text(nodes + "w1 v1 Troute=bus Nn1,n2\n", "opl", corridor).ways.empty());
}
