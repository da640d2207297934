#include "match/match.hpp"
#include "match/network.hpp"
#include "support/sketch.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

namespace {

using namespace waywarden;
using test::Sketch;

/// The ways walked in order, `-` for open ground: "w2 w1 -".
std::string ways(const Sketch& sketch, const match::Trace& trace) {
    std::string out;
    for (const auto& stretch : trace.stretches) {
        if (!out.empty()) out += ' ';
        out += stretch.way ? "w" + std::to_string(sketch.ground().ways[*stretch.way].object.id.id) : "-";
    }
    return out;
}

/// Stretches follow one another without gap or overlap, from 0 to the length, and so do the places along
/// each.
void check_covers(const match::Trace& trace) {
    double at_m = 0;
    for (const auto& stretch : trace.stretches) {
        CHECK(stretch.from_m == doctest::Approx(at_m).epsilon(1e-9));
        CHECK(stretch.to_m >= stretch.from_m);
        REQUIRE(stretch.line.size() >= 1);
        double last_m = stretch.from_m - 1e-6;
        for (const auto& point : stretch.line) {
            CHECK(point.at_m >= last_m - 1e-6);
            last_m = point.at_m;
        }
        CHECK(stretch.confidence >= 0);
        CHECK(stretch.confidence <= 1);
        at_m = stretch.to_m;
    }
    CHECK(at_m == doctest::Approx(trace.length_m).epsilon(1e-9));
}

/// A line through the places, a point every `spacing_m`, each moved by normal noise of `sigma_m` an axis.
route::Route drawn(const std::vector<geo::Position>& places, double spacing_m, double sigma_m,
                   unsigned seed) {
    std::mt19937 random(seed);
    std::normal_distribution<double> noise(0, sigma_m);
    const geo::LocalFrame frame(places.front());
    route::Segment segment;
    double left_m = 0;
    for (std::size_t i = 0; i + 1 < places.size(); ++i) {
        const geo::Metres2 a = frame.to_plane(places[i]), b = frame.to_plane(places[i + 1]);
        const double length_m = geo::length_m(b - a);
        for (; left_m < length_m; left_m += spacing_m) {
            const geo::Metres2 off =
                sigma_m > 0 ? geo::Metres2{noise(random), noise(random)} : geo::Metres2{};
            segment.points.push_back({frame.to_position(a + (left_m / length_m) * (b - a) + off), {}, 0});
        }
        left_m -= length_m;
    }
    segment.points.push_back({places.back(), {}, 0});
    route::Route route;
    route.segments.push_back(segment);
    return route;
}

std::vector<geo::Position> at(const Sketch& sketch, std::string_view letters) {
    std::vector<geo::Position> out;
    for (const char letter : letters)
        out.push_back(sketch.at(letter));
    return out;
}

double metres_of(const match::Trace& trace, std::optional<map::WayIndex> way) {
    double sum_m = 0;
    for (const auto& stretch : trace.stretches)
        if (stretch.way == way) sum_m += stretch.to_m - stretch.from_m;
    return sum_m;
}

} // namespace

TEST_CASE("a line along a path and a road is put on them, and the change is at the junction") {
    const Sketch sketch("A . . . B . . . C\n. . . . . . . . .\n. . . . D . . . .", 50,
                        {"w1 Thighway=path NAB", "w2 Thighway=residential NBC", "w3 Thighway=path NBD"});
    const auto trace = match::match(sketch.route("ABC"), sketch.ground());
    CHECK(ways(sketch, trace) == "w1 w2");
    check_covers(trace);
    CHECK(trace.stretches[0].to_m == doctest::Approx(test::metres_over(sketch, "AB")).epsilon(0.005));
    CHECK(trace.stretches[1].line.front().node == trace.stretches[0].line.back().node);
    CHECK(trace.stretches[0].confidence > 0.9);
}

TEST_CASE("ways that cross without a shared node are not connected") {
    const Sketch sketch(". . B . .\n. . . . .\nA . X . C\n. . . . .\n. . D . .", 60,
                        {"w1 Thighway=path NAC", "w2 Thighway=residential NBD"});
    // Straight over: the road is never walked.
    CHECK(ways(sketch, match::match(drawn(at(sketch, "AC"), 20, 0, 1), sketch.ground())) == "w1");
    // Turning where the two cross: there is no way from one to the other but over open ground.
    const auto trace = match::match(drawn(at(sketch, "AXB"), 20, 0, 1), sketch.ground());
    CHECK(metres_of(trace, sketch.way(1)) > 0.9 * test::metres_over(sketch, "AX"));
    CHECK(metres_of(trace, sketch.way(2)) > 0.9 * test::metres_over(sketch, "XB"));
    CHECK(ways(sketch, trace).find('-') != std::string::npos);
}

TEST_CASE("open ground between two paths is open ground, from where the line leaves the path") {
    const Sketch sketch("A . . . B . . . . . . . C . . . D", 40,
                        {"w1 Thighway=path NAB", "w2 Thighway=track NCD"});
    const auto trace = match::match(drawn(at(sketch, "ABCD"), 25, 0, 1), sketch.ground());
    CHECK(ways(sketch, trace) == "w1 - w2");
    check_covers(trace);
    CHECK(metres_of(trace, std::nullopt) == doctest::Approx(test::metres_over(sketch, "BC")).epsilon(0.06));
}

TEST_CASE("a line far from everything is open ground all the way") {
    const Sketch sketch("A . . . . . . . B\n. . . . . . . . .\n. . . . . . . . .\nC . . . . . . . D", 100,
                        {"w1 Thighway=path NAB"});
    const auto trace = match::match(sketch.route("CD"), sketch.ground());
    CHECK(ways(sketch, trace) == "-");
    check_covers(trace);
}

TEST_CASE("there and back keeps its order") {
    const Sketch sketch("A . . . B . . . C . . . D", 50,
                        {"w1 Thighway=path NAB", "w2 Thighway=residential NBC", "w3 Thighway=path NCD"});
    const auto trace = match::match(drawn(at(sketch, "ABCDCBA"), 30, 0, 1), sketch.ground());
    CHECK(ways(sketch, trace) == "w1 w2 w3 w2 w1");
    check_covers(trace);
}

TEST_CASE("a figure of eight keeps its order") {
    const Sketch sketch("B . . . C\n. . . . .\n. . . . .\nA . . . D . . . E\n. . . . . . . . .\n. . . . . . "
                        ". . .\n. . . . G . . . F",
                        50,
                        {"w1 Thighway=path NDABC", "w2 Thighway=track NCD", "w3 Thighway=footway NDEF",
                         "w4 Thighway=bridleway NFGD"});
    const auto trace = match::match(drawn(at(sketch, "DABCDEFGD"), 25, 0, 1), sketch.ground());
    CHECK(ways(sketch, trace) == "w1 w2 w3 w4");
    check_covers(trace);
}

TEST_CASE("law does not steer: a motorway or a private drive that the line follows wins") {
    const Sketch sketch(
        "A . . . . . . . B\n. . . . . . . . .\nC . . . . . . . D", 30,
        {"w1 Thighway=motorway NAB", "w2 Thighway=path,foot=designated NCD", "w3 Thighway=path NAC"});
    const auto trace = match::match(drawn(at(sketch, "AB"), 20, 3, 7), sketch.ground());
    CHECK(metres_of(trace, sketch.way(1)) > 0.95 * trace.length_m);
    const Sketch drive("A . . . . . . . B\n. . . . . . . . .\nC . . . . . . . D", 30,
                       {"w1 Thighway=service,access=private NAB", "w2 Thighway=path,foot=designated NCD",
                        "w3 Thighway=path NAC"});
    const auto drive_trace = match::match(drawn(at(drive, "AB"), 20, 3, 7), drive.ground());
    CHECK(metres_of(drive_trace, drive.way(1)) > 0.95 * drive_trace.length_m);
}

TEST_CASE("two ways too near to tell apart: both are named") {
    const Sketch sketch("A . . . . . . . . . B\nC . . . . . . . . . D", 4,
                        {"w1 Thighway=path NAB", "w2 Thighway=primary NCD"});
    // The lines are 4 m apart and 36 m long; the drawn line is off by 10 m.
    const auto trace = match::match(drawn(at(sketch, "AB"), 10, 10, 3), sketch.ground());
    bool road_is_named = false;
    for (const auto& stretch : trace.stretches) {
        road_is_named |= stretch.way == sketch.way(2);
        for (const auto& other : stretch.others)
            road_is_named |= other.way == sketch.way(2);
    }
    CHECK(road_is_named);
}

TEST_CASE("a route may start and finish in mid-edge, and in the middle of nowhere") {
    const Sketch sketch("A . . M . . . N . . B", 60, {"w1 Thighway=path NAB"});
    const auto trace = match::match(drawn(at(sketch, "MN"), 20, 0, 1), sketch.ground());
    CHECK(ways(sketch, trace) == "w1");
    CHECK(trace.stretches[0].line.front().node == map::k_no_node);
    check_covers(trace);
}

TEST_CASE("several segments: each begins a stretch, the gap is no part of the walk") {
    const Sketch sketch("A . . . B . . . C . . . D", 50, {"w1 Thighway=path NABCD"});
    const auto trace = match::match(sketch.route("AB CD"), sketch.ground());
    CHECK(ways(sketch, trace) == "w1 w1");
    CHECK(trace.segment_starts == std::vector<std::size_t>{0, 1});
    CHECK(trace.length_m ==
          doctest::Approx(test::metres_over(sketch, "AB") + test::metres_over(sketch, "CD")));
    check_covers(trace);
}

/// How often a trace passes a node of a sketch.
long passes(const Sketch& sketch, const match::Trace& trace, char letter) {
    const auto& nodes = sketch.ground().nodes;
    long count = 0;
    for (const match::Stretch& stretch : trace.stretches)
        count += std::count_if(stretch.line.begin(), stretch.line.end(), [&](const match::TracePoint& p) {
            return p.node != map::k_no_node && nodes[p.node].id == letter;
        });
    return count;
}

TEST_CASE("a point of the line that falls on a node within a way does not hide the node") {
    const Sketch sketch("A . . . X . . . B", 50, {"w1 Thighway=path NAXB"});
    for (const char* letters : {"AXB", "AB", "BXA"}) {
        CAPTURE(letters);
        const auto trace = match::match(sketch.route(letters), sketch.ground());
        CHECK(ways(sketch, trace) == "w1");
        CHECK(passes(sketch, trace, 'X') == 1);
        check_covers(trace);
    }
}

TEST_CASE("a loop is walked through where its way begins and ends") {
    const Sketch sketch("D . . . . . . . C\n. . . . . . . . .\nE . . . A . . . B", 20,
                        {"w1 Thighway=path NABCDEA"});
    for (const char* letters : {"EAB", "EB", "BE"}) {
        CAPTURE(letters);
        const auto trace = match::match(sketch.route(letters), sketch.ground());
        CHECK(ways(sketch, trace) == "w1");
        CHECK(passes(sketch, trace, 'A') == 1);
        check_covers(trace);
    }
}

TEST_CASE("an empty map and a route of one point break nothing") {
    const Sketch sketch("A . B . C . D", 200, {"w1 Thighway=path NCD"});
    const map::Ground nothing;
    const auto over_nothing = match::match(sketch.route("AB"), nothing);
    REQUIRE(over_nothing.stretches.size() == 1);
    CHECK(!over_nothing.stretches[0].way);
    check_covers(over_nothing);
    CHECK(match::match(sketch.route("A"), sketch.ground()).stretches.empty());
}

TEST_CASE("the error is learnt from the line: 3, 8 and 20 m are told apart") {
    // Detection by the line alone; the noise put in is the reference.
    std::vector<std::string> objects{"w1 Thighway=path NABCDEFGH"};
    const Sketch sketch("A . . . . . . . C . . . . . . . E . . . . . . . G\n"
                        ". . . . . . . . . . . . . . . . . . . . . . . . .\n"
                        ". . . . . B . . . . . . . D . . . . . . . F . . H",
                        100, objects);
    for (const double sigma_m : {3.0, 8.0, 20.0}) {
        CAPTURE(sigma_m);
        const auto trace = match::match(drawn(at(sketch, "ABCDEFGH"), 30, sigma_m, 5), sketch.ground());
        CHECK(trace.error_m > 0.7 * sigma_m);
        CHECK(trace.error_m < 1.4 * sigma_m);
        CHECK(metres_of(trace, sketch.way(1)) > 0.99 * trace.length_m);
        check_covers(trace);
    }
}

TEST_CASE("whatever is drawn over whatever map, the stretches cover the route") {
    const Sketch sketch("A . B . C . D\n. . . . . . .\nE . F . G . H\n. . . . . . .\nI . J . K . L", 60,
                        {"w1 Thighway=path NABCD", "w2 Thighway=residential NEFGH", "w3 Thighway=track NIJKL",
                         "w4 Thighway=footway NAEI", "w5 Thighway=tertiary NBFJ", "w6 Thighway=steps NCGK",
                         "w7 Trailway=rail NDHL", "w8 Troute=ferry NAL"});
    std::mt19937 random(11);
    for (int round = 0; round < 60; ++round) {
        CAPTURE(round);
        std::string letters;
        for (int i = 0; i < 8; ++i)
            letters += static_cast<char>('A' + static_cast<int>(random() % 12));
        const double spacing_m = 2 + static_cast<double>(random() % 120),
                     sigma_m = static_cast<double>(random() % 30);
        check_covers(match::match(
            drawn(at(sketch, letters), spacing_m, sigma_m, static_cast<unsigned>(round)), sketch.ground()));
    }
}

TEST_CASE("the plane is conformal and goes there and back") {
    // Reference: the geodesic routines of PROJ, by themselves exact to nanometres.
    const match::MatchPlane plane({3, 56});
    for (const geo::Position p : {geo::Position{3.01, 56.02}, {2.8, 55.9}, {3.3, 56.3}}) {
        const geo::Position back = plane.to_position(plane.to_plane(p));
        CHECK(back.lon_deg == doctest::Approx(p.lon_deg).epsilon(1e-12));
        CHECK(back.lat_deg == doctest::Approx(p.lat_deg).epsilon(1e-12));
        const geo::Position q{p.lon_deg + 0.001, p.lat_deg + 0.0007};
        const double metres = geo::length_m(plane.to_plane(q) - plane.to_plane(p));
        CHECK(metres == doctest::Approx(geo::distance_m(p, q)).epsilon(0.012));
    }
}

TEST_CASE("looking up what is near finds what a search over everything finds") {
    const Sketch sketch("A . B . C . D\n. . . . . . .\nE . F . G . H\n. . . . . . .\nI . J . K . L", 170,
                        {"w1 Thighway=path NABCD", "w2 Thighway=residential NEFGH", "w3 Thighway=track NILDA",
                         "w4 Thighway=footway NAEI"});
    const match::MatchPlane plane(sketch.at('F'));
    const match::Network network(sketch.ground(), plane, {-180, -90, 180, 90});
    std::mt19937 random(3);
    std::uniform_real_distribution<double> place(-600, 900);
    for (int round = 0; round < 200; ++round) {
        const geo::Metres2 p{place(random), place(random)};
        std::vector<match::Network::Near> found;
        network.near(p, 60, found);
        for (match::EdgeIndex e = 0; e < network.edges().size(); ++e) {
            const auto line = network.vertices(network.edges()[e]);
            double least_m = 1e9;
            for (std::size_t i = 0; i + 1 < line.size(); ++i)
                least_m =
                    std::min(least_m, geo::nearest_on_segment(p, line[i].at, line[i + 1].at).distance_m);
            double got_m = 1e9;
            for (const auto& run : found)
                if (run.edge == e) got_m = std::min(got_m, run.distance_m);
            if (least_m <= 60)
                CHECK(got_m == doctest::Approx(least_m));
            else
                CHECK(got_m == 1e9);
        }
    }
}

// Maps have ways some metres elsewhere than they are: 3 to 5 m for one drawn from aerial pictures or a single
// recording, more under trees (common practice, no source). The ground: a path along x, the line on it but
// for 240 m `aside_m` to its left, and whatever else is drawn between.
namespace {

struct Aside {
    double aside_m;
    std::vector<std::pair<std::string, std::vector<geo::Metres2>>> between; ///< tags and place of a way
};

match::Trace matched_aside(const Aside& given) {
    map::Ground ground;
    const geo::Position origin{2.2, 56.2};
    const geo::LocalFrame frame(origin);
    const auto add = [&](std::int64_t id, const std::string& tag, const std::vector<geo::Metres2>& line) {
        map::Way way;
        way.object.id = {map::ObjectType::way, id};
        const auto equals = tag.find('=');
        way.object.tags = map::Tags(std::vector{std::pair{tag.substr(0, equals), tag.substr(equals + 1)}});
        for (const geo::Metres2 p : line) {
            way.nodes.push_back(static_cast<map::NodeIndex>(ground.nodes.size()));
            ground.nodes.push_back(
                {static_cast<std::int64_t>(ground.nodes.size()) + 1, frame.to_position(p)});
        }
        ground.ways.push_back(way);
    };
    add(1, "highway=path", {{0, 0}, {300, 0}, {600, 0}, {900, 0}});
    std::int64_t id = 2;
    for (const auto& [tag, line] : given.between)
        add(id++, tag, line);
    const std::vector<geo::Metres2> plan{{0, 0},   {320, 0}, {330, given.aside_m}, {570, given.aside_m},
                                         {580, 0}, {900, 0}};
    std::vector<geo::Position> places;
    for (const geo::Metres2 p : plan)
        places.push_back(frame.to_position(p));
    return match::match(drawn(places, 12, 0, 1), ground);
}

} // namespace

TEST_CASE("an exact line some metres beside a way of its shape is beside it; farther off it is off any way") {
    for (const double aside_m : {4.0, 8.0, 12.0, -8.0}) {
        CAPTURE(aside_m);
        const auto trace = matched_aside({aside_m, {}});
        CHECK(metres_of(trace, std::nullopt) == 0);
        check_covers(trace);
    }
    for (const double aside_m : {25.0, 40.0, -25.0}) {
        CAPTURE(aside_m);
        CHECK(metres_of(matched_aside({aside_m, {}}), std::nullopt) > 200);
    }
}

TEST_CASE("an exact line beside a way stays off it where anything divides the two") {
    const std::vector<geo::Metres2> between{{200, 60}, {325, 4}, {575, 4}, {700, 60}};
    for (const auto* divider : {"waterway=river", "waterway=stream", "railway=rail", "barrier=wall",
                                "barrier=fence", "natural=cliff", "highway=trunk"}) {
        CAPTURE(divider);
        // Not on the path: off any way, or on what lies nearer where that can be walked along.
        CHECK(metres_of(matched_aside({8, {{divider, between}}}), 0) < 700);
    }
    // On the other side of the line, or across both, it divides nothing.
    const std::vector<geo::Metres2> beyond{{200, 60}, {325, 12}, {575, 12}, {700, 60}},
        across{{400, 60}, {440, -60}};
    for (const auto& harmless : {beyond, across}) {
        CHECK(metres_of(matched_aside({8, {{"waterway=stream", harmless}}}), std::nullopt) == 0);
        CHECK(metres_of(matched_aside({8, {{"barrier=wall", harmless}}}), std::nullopt) == 0);
    }
}
