#include "error.hpp"
#include "map/corridor_net.hpp"
#include "map/part_of.hpp"
#include "map/read.hpp"

#include <doctest/doctest.h>
#include <osmium/io/any_input.hpp>
#include <osmium/io/any_output.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>

namespace {

using namespace waywarden;
using map::Shortfall;
namespace fs = std::filesystem;

/// A corridor of 400 m around a straight line from 3 E 56 N to the east, 1.2 km long.
map::Corridor corridor() {
    return {{{{3.0, 56.0}, {3.02, 56.0}}}, 400};
}

std::string node(int id, double lon, double lat, const std::string& tags = "") {
    std::ostringstream out;
    out.precision(9);
    out << "n" << id << " v1 dV c1 t2026-05-01T00:00:00Z i1 u T" << tags << " x" << lon << " y" << lat
        << "\n";
    return out.str();
}

std::string way(int id, const std::string& tags, const std::vector<int>& nodes,
                const std::string& head = "v1 dV t2026-06-01T00:00:00Z") {
    std::string out = "w" + std::to_string(id) + " " + head + " c1 i1 u T" + tags + " N";
    for (std::size_t i = 0; i < nodes.size(); ++i)
        out += (i ? ",n" : "n") + std::to_string(nodes[i]);
    return out + "\n";
}

std::string relation(int id, const std::string& tags, const std::string& members) {
    return "r" + std::to_string(id) + " v1 dV c1 t2026-06-01T00:00:00Z i1 u T" + tags + " M" + members + "\n";
}

/// Four corners, ids from `first`, around the middle of the corridor.
std::string square(int first, double half_deg) {
    return node(first, 3.01 - 2 * half_deg, 56 - half_deg) +
           node(first + 1, 3.01 + 2 * half_deg, 56 - half_deg) +
           node(first + 2, 3.01 + 2 * half_deg, 56 + half_deg) +
           node(first + 3, 3.01 - 2 * half_deg, 56 + half_deg);
}

const std::string k_path =
    node(1, 3.0, 56.001) + node(2, 3.01, 56.001) + node(3, 3.02, 56.001) + way(1, "highway=path", {1, 2, 3});

map::Ground read_opl(const std::string& opl) {
    // Sorted as files are: nodes, ways, relations. The reader does not rely on it; a test below shuffles.
    std::vector<std::string> lines;
    std::istringstream in(opl);
    for (std::string line; std::getline(in, line);)
        lines.push_back(line);
    std::stable_sort(lines.begin(), lines.end(), [](const auto& a, const auto& b) {
        return std::string("nwr").find(a[0]) < std::string("nwr").find(b[0]);
    });
    std::string sorted;
    for (const auto& line : lines)
        sorted += line + "\n";
    return map::read_text(sorted, "opl", corridor());
}

std::vector<std::int64_t> way_ids(const map::Ground& ground) {
    std::vector<std::int64_t> ids;
    for (const auto& w : ground.ways)
        ids.push_back(w.object.id.id);
    return ids;
}

std::vector<std::string> area_ids(const map::Ground& ground) {
    std::vector<std::string> ids;
    for (const auto& a : ground.areas)
        ids.push_back(map::to_string(a.object.id));
    return ids;
}

/// Everything in a ground, as text: two grounds are the same where their texts are.
std::string text_of(const map::Ground& ground) {
    std::ostringstream out;
    out.precision(10);
    const auto object = [&](const map::Object& o) {
        out << map::to_string(o.id) << ' ' << o.edited_s;
        for (const auto& [key, value] : o.tags.pairs())
            out << ' ' << key << '=' << value;
    };
    for (const auto& n : ground.nodes)
        out << n.id << ' ' << n.position.lon_deg << ' ' << n.position.lat_deg << '\n';
    for (const auto& w : ground.ways) {
        object(w.object);
        out << ' ' << w.whole;
        for (const auto n : w.nodes)
            out << ' ' << n;
        out << '\n';
    }
    for (const auto& a : ground.areas) {
        object(a.object);
        for (const auto& polygon : a.polygons)
            out << ' ' << polygon.outer.size() << '/' << polygon.inner.size();
        out << '\n';
    }
    for (const auto& t : ground.tagged_nodes) {
        object(t.object);
        out << ' ' << t.position.lon_deg << ' ' << t.node << '\n';
    }
    for (const auto& s : ground.shortfalls)
        out << s.text << '\n';
    return out.str();
}

/// A file of the text in another format, in a folder of its own that goes away.
class Folder {
  public:
    Folder()
        : m_path(fs::temp_directory_path() / ("waywarden-read-" + std::to_string(std::random_device()()))) {
        fs::create_directories(m_path);
    }
    ~Folder() { fs::remove_all(m_path); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    std::string put(const std::string& name, const std::string& bytes) const {
        std::ofstream(m_path / name, std::ios::binary) << bytes;
        return (m_path / name).string();
    }
    std::string converted(const std::string& opl, const std::string& name,
                          const osmium::io::Header& header = {}) const {
        osmium::io::Reader reader(osmium::io::File(opl.data(), opl.size(), "opl"));
        osmium::io::Writer writer((m_path / name).string(), header, osmium::io::overwrite::allow);
        while (auto buffer = reader.read())
            writer(std::move(buffer));
        writer.close();
        reader.close();
        return (m_path / name).string();
    }

  private:
    fs::path m_path;
};

map::Ground read_file(const std::string& path, int threads = 2) {
    const std::vector<std::string> paths{path};
    return map::read(paths, corridor(), {threads, {}});
}

std::string refusal(const std::string& path) {
    try {
        read_file(path);
    } catch (const DataError& e) {
        return e.what();
    }
    return "read";
}

} // namespace

TEST_CASE("ways near the corridor are kept with all their nodes, others are not") {
    const auto ground = read_opl(k_path + node(10, 3.01, 56.002) + node(11, 3.01, 56.1) +
                                 way(2, "highway=track", {10, 11}) + // reaches far out
                                 node(20, 3.01, 56.05) + node(21, 3.02, 56.05) +
                                 way(3, "highway=path", {20, 21}) + // 5.5 km off
                                 way(4, "power=line", {1, 2}));     // of no interest
    CHECK(way_ids(ground) == std::vector<std::int64_t>{1, 2});
    CHECK(ground.ways[1].nodes.size() == 2);
    CHECK(ground.nodes.size() == 5);
    CHECK(ground.ways[0].object.edited_s == 1780272000); // 2026-06-01T00:00:00Z
    CHECK(ground.shortfalls.empty());
}

/// A way with these tags going north from a place so many kilometres north of the corridor.
std::string lane(int first_node, int id, double north_km, const std::string& tags) {
    const double south = 56 + north_km / 111.3;
    return node(first_node, 3.01, south) + node(first_node + 1, 3.01, south + 0.004) +
           way(id, tags, {first_node, first_node + 1});
}

TEST_CASE("roads and paths within half an hour on foot are known, for the way to help") {
    const auto ground = read_opl(k_path + lane(10, 2, 1.5, "highway=tertiary") +
                                 lane(20, 3, 1.5, "waterway=stream") + lane(30, 4, 4, "highway=tertiary"));
    REQUIRE(ground.ways.size() == 1);
    REQUIRE(ground.around.size() == 1);
    CHECK(ground.around[0].object.id.id == 2);
    CHECK(ground.nodes.at(ground.around[0].nodes.at(1)).id == 11);
    CHECK(read_opl(k_path + lane(10, 2, 4, "highway=tertiary")).around.empty());
}

TEST_CASE("lengths of tagged roads are summed up within 5 km, not beyond") {
    const auto ground =
        read_opl(k_path + lane(10, 2, 4, "highway=tertiary,sidewalk=no") +
                 lane(20, 3, 4.2, "highway=tertiary,maxspeed=50") + lane(30, 4, 6.5, "highway=tertiary"));
    const map::TaggedLength tertiary = ground.tagged_lengths.at("tertiary");
    // 0.004 degrees of latitude at 56 N, by GeographicLib: 445.3 m.
    CHECK(static_cast<double>(tertiary.all_cm) == doctest::Approx(2 * 44530).epsilon(0.005));
    CHECK(tertiary.pavement_cm * 2 == doctest::Approx(static_cast<double>(tertiary.all_cm)).epsilon(0.001));
    CHECK(tertiary.speed_cm == doctest::Approx(static_cast<double>(tertiary.pavement_cm)).epsilon(0.001));
    CHECK(tertiary.surface_cm == 0);
    CHECK(ground.tagged_lengths.count("path") == 1);
}

TEST_CASE("which layers the file holds is known, however far from the route") {
    const auto ground =
        read_opl(k_path + lane(10, 2, 90, "waterway=river") + node(50, 4, 57, "barrier=gate"));
    CHECK(ground.layers.water);
    CHECK(ground.layers.gate);
    CHECK_FALSE(ground.layers.crossing);
    CHECK_FALSE(ground.layers.pavement);
}

TEST_CASE("a part cut out of a map read for several routes is what is read for one alone") {
    const std::string opl =
        k_path + lane(10, 2, 1.5, "highway=tertiary") + lane(20, 3, 2.3, "highway=tertiary") +
        lane(30, 4, 0.6, "highway=track") + lane(40, 5, 5.4, "highway=tertiary") + node(60, 3.01, 56.012) +
        node(61, 3.011, 56.013) +
        way(7, "natural=water", {60, 61, 999, 60}) + // wet, about 1.4 km off, a node missing
        way(8, "highway=path", {60, 998, 61});
    map::Corridor wide = corridor();
    for (double* reach_m : {&wide.reach_m, &wide.around_m, &wide.shares_m})
        *reach_m += 500;
    wide.lines.push_back({{3.0, 56.02}, {3.02, 56.02}}); // another route, 2.2 km north
    const auto alone = map::read_text(opl, "opl", corridor());
    const auto part = map::part_of(map::read_text(opl, "opl", wide), corridor());
    CHECK(part.nodes.size() == alone.nodes.size());
    const auto ids = [](const std::vector<map::Way>& ways) {
        std::vector<std::int64_t> out;
        for (const map::Way& way : ways)
            out.push_back(way.object.id.id);
        return out;
    };
    CHECK(ids(part.ways) == ids(alone.ways));
    CHECK(ids(part.around) == ids(alone.around));
    CHECK(part.tagged_lengths == alone.tagged_lengths);
    CHECK(part.layers == alone.layers);
    REQUIRE(part.shortfalls.size() == alone.shortfalls.size());
    for (std::size_t i = 0; i < part.shortfalls.size(); ++i) {
        CHECK(part.shortfalls[i].object == alone.shortfalls[i].object);
        CHECK(part.shortfalls[i].position.has_value() == alone.shortfalls[i].position.has_value());
    }
}

TEST_CASE("a way that crosses the corridor with no node near it is found") {
    // 2.2 km between its nodes, each 1.1 km from the line.
    const auto ground =
        read_opl(k_path + node(10, 3.01, 55.99) + node(11, 3.01, 56.01) + way(2, "railway=rail", {10, 11}));
    CHECK(way_ids(ground) == std::vector<std::int64_t>{1, 2});
}

TEST_CASE("lines of every kind a walker may meet, in any state") {
    std::string opl = k_path;
    const std::vector<std::string> tags{"railway=rail",         "waterway=stream",
                                        "route=ferry",          "barrier=wall",
                                        "natural=cliff",        "natural=coastline",
                                        "man_made=embankment",  "highway=construction,construction=primary",
                                        "disused:railway=rail", "highway=no"};
    for (std::size_t i = 0; i < tags.size(); ++i)
        opl += way(10 + static_cast<int>(i), tags[i], {1, 2});
    CHECK(read_opl(opl).ways.size() == 1 + tags.size());
}

TEST_CASE("whole areas: one that holds the route without a node near is found, as way and as relation") {
    const std::string far = square(10, 0.2); // 44 km by 50 km
    CHECK(area_ids(read_opl(k_path + far + way(2, "landuse=military", {10, 11, 12, 13, 10}))) ==
          std::vector<std::string>{"way/2"});
    const std::string as_relation =
        far + way(2, "source=survey", {10, 11, 12}) + way(3, "source=survey", {12, 13, 10}) +
        relation(1, "type=multipolygon,military=danger_area", "w2@outer,w3@outer");
    const auto ground = read_opl(k_path + as_relation);
    REQUIRE(area_ids(ground) == std::vector<std::string>{"relation/1"});
    CHECK(ground.areas[0].polygons.at(0).outer.size() == 5);
    CHECK(ground.shortfalls.empty());
    // The same beside the route, not around it: left out.
    const std::string elsewhere = node(10, 4, 56) + node(11, 4.1, 56) + node(12, 4.1, 56.1) +
                                  way(2, "landuse=military", {10, 11, 12, 10});
    CHECK(read_opl(k_path + elsewhere).areas.empty());
}

TEST_CASE("areas with a hole keep it, old tagging on the outer way too") {
    const std::string opl = k_path + square(10, 0.004) + square(20, 0.002) +
                            way(2, "natural=water", {10, 11, 12, 13, 10}) +
                            way(3, "source=survey", {20, 21, 22, 23, 20}) +
                            relation(1, "type=multipolygon,natural=water", "w2@outer,w3@inner");
    const auto ground = read_opl(opl);
    REQUIRE(area_ids(ground) == std::vector<std::string>{"way/2", "relation/1"});
    CHECK(ground.areas[1].polygons.at(0).inner.size() == 1);
}

TEST_CASE("an area with long edges that the route enters midway, no node of it within kilometres") {
    const std::string rectangle =
        node(10, 3.01, 55.9) + node(11, 3.4, 55.9) + node(12, 3.4, 56.1) + node(13, 3.01, 56.1);
    CHECK(area_ids(read_opl(k_path + rectangle + way(2, "landuse=military", {10, 11, 12, 13, 10}))) ==
          std::vector<std::string>{"way/2"});
}

TEST_CASE("a line with a segment of 22 km across the route") {
    const auto ground =
        read_opl(k_path + node(10, 3.01, 55.9) + node(11, 3.01, 56.1) + way(2, "railway=rail", {10, 11}));
    CHECK(way_ids(ground) == std::vector<std::int64_t>{1, 2});
}

TEST_CASE("a wet area that is not whole is told of from 1.5 km on") {
    const std::string known =
        node(10, 3.0, 56.008) + node(11, 3.01, 56.01) + way(2, "source=survey", {10, 11}); // 900 m off
    const auto relation_of = [&](const char* tags) { return known + relation(1, tags, "w2@outer,w3@outer"); };
    CHECK(read_opl(k_path + relation_of("type=multipolygon,natural=wetland,wetland=tidalflat"))
              .shortfalls.size() == 1);
    CHECK(read_opl(k_path + relation_of("type=multipolygon,landuse=meadow")).shortfalls.empty());
}

TEST_CASE("closed lines are no areas: a barrier, a roundabout, a track round a field") {
    const auto ground = read_opl(k_path + square(10, 0.002) + way(2, "barrier=wall", {10, 11, 12, 13, 10}) +
                                 way(3, "highway=track", {10, 11, 12, 13, 10}) +
                                 way(4, "highway=pedestrian,area=yes", {10, 11, 12, 13, 10}));
    CHECK(area_ids(ground) == std::vector<std::string>{"way/4"});
    CHECK(way_ids(ground) == std::vector<std::int64_t>{1, 2, 3, 4});
}

TEST_CASE("what is missing near the route is counted, never dropped silently") {
    SUBCASE("a way runs on through nodes the extract lacks: two parts, one shortfall") {
        const auto ground =
            read_opl(k_path + node(10, 3.005, 56) + node(11, 3.006, 56) + node(13, 3.008, 56) +
                     node(14, 3.009, 56) + way(2, "highway=path", {10, 11, 12, 13, 14}));
        CHECK(way_ids(ground) == std::vector<std::int64_t>{1, 2, 2});
        CHECK(!ground.ways[1].whole);
        REQUIRE(ground.shortfalls.size() == 1);
        CHECK(ground.shortfalls[0].kind == Shortfall::Kind::way_lacks_nodes);
        CHECK(ground.shortfalls[0].position);
    }
    SUBCASE("the same far from the route is nobody's business") {
        const auto ground = read_opl(k_path + node(10, 3.005, 56) + node(11, 3.006, 56.02) +
                                     way(2, "highway=path", {10, 11, 12}));
        CHECK(ground.shortfalls.empty());
    }
    SUBCASE("a multipolygon lacks a member") {
        const auto ground = read_opl(k_path + square(10, 0.002) + way(2, "source=survey", {10, 11, 12}) +
                                     relation(1, "type=multipolygon,natural=water", "w2@outer,w3@outer"));
        REQUIRE(ground.shortfalls.size() == 1);
        CHECK(ground.shortfalls[0].kind == Shortfall::Kind::area_lacks_ways);
    }
    SUBCASE("a danger area that lacks a member counts however far its known part lies") {
        const std::string far = node(10, 4, 56) + node(11, 4.1, 56) + way(2, "source=survey", {10, 11});
        CHECK(read_opl(k_path + far +
                       relation(1, "type=multipolygon,military=danger_area", "w2@outer,w3@outer"))
                  .shortfalls.size() == 1);
        CHECK(read_opl(k_path + far + relation(1, "type=multipolygon,natural=wood", "w2@outer,w3@outer"))
                  .shortfalls.empty());
    }
    SUBCASE("rings that do not close") {
        const auto ground = read_opl(k_path + square(10, 0.002) + way(2, "source=survey", {10, 11, 12}) +
                                     relation(1, "type=multipolygon,natural=water", "w2@outer"));
        REQUIRE(ground.shortfalls.size() == 1);
        CHECK(ground.shortfalls[0].kind == Shortfall::Kind::area_broken);
    }
    SUBCASE("rings that do not close, far round the route: it may lie in the water") {
        const std::string far = square(10, 0.2) + way(2, "source=survey", {10, 11, 12, 13});
        CHECK(read_opl(k_path + far + relation(1, "type=multipolygon,natural=water", "w2@outer"))
                  .shortfalls.size() == 1);
        CHECK(read_opl(k_path + far + relation(1, "type=multipolygon,landuse=meadow", "w2@outer"))
                  .shortfalls.empty());
        const std::string beside =
            node(10, 4, 56) + node(11, 4.1, 56) + node(12, 4, 56.1) + way(2, "source=survey", {10, 11, 12});
        CHECK(read_opl(k_path + beside + relation(1, "type=multipolygon,natural=water", "w2@outer"))
                  .shortfalls.empty());
    }
    SUBCASE("water or a danger of which nothing is known may lie anywhere") {
        for (const char* what : {"military=range", "landuse=military", "natural=water"}) {
            const std::string tags = std::string("type=multipolygon,") + what;
            CHECK(read_opl(k_path + relation(1, tags, "")).shortfalls.size() == 1);
            CHECK(read_opl(k_path + relation(1, tags, "w98@outer")).shortfalls.size() == 1);
        }
        CHECK(read_opl(k_path + relation(1, "type=multipolygon,landuse=meadow", "")).shortfalls.empty());
        CHECK(read_opl(k_path + relation(1, "type=multipolygon,landuse=meadow", "w98@outer"))
                  .shortfalls.empty());
    }
    SUBCASE("the outline of a danger that does not close") {
        const std::string open = square(10, 0.002) + way(2, "TAGS", {10, 11, 12, 13});
        const auto with = [](std::string objects, const std::string& tags) {
            return read_opl(k_path + objects.replace(objects.find("TAGS"), 4, tags));
        };
        for (const char* danger :
             {"military=danger_area", "landuse=military", "boundary=hazard", "hazard=shooting_range"}) {
            const auto ground = with(open, danger);
            REQUIRE(ground.shortfalls.size() == 1);
            CHECK(ground.shortfalls[0].kind == Shortfall::Kind::area_open);
        }
        for (const char* none : {"landuse=meadow", "military=trench", "hazard=no", "highway=path,hazard=ice"})
            CHECK(with(open, none).shortfalls.empty());
        CHECK(
            with(square(10, 0.2) + way(2, "TAGS", {10, 11, 12, 13}), "landuse=military").shortfalls.size() ==
            1);
        CHECK(with(node(10, 3.1, 56) + node(11, 3.1, 56.1) + way(2, "TAGS", {10, 11}), "landuse=military")
                  .shortfalls.empty());
        const auto of_relation =
            with(open + way(3, "source=survey", {13, 10}) +
                     relation(1, "type=multipolygon,landuse=military", "w2@outer,w3@outer"),
                 "landuse=military");
        CHECK(of_relation.shortfalls.empty());
        CHECK(of_relation.areas.size() == 1);
    }
    SUBCASE("a danger whose relation does not say what kind it is") {
        const std::string ways = square(10, 0.002) + way(2, "", {10, 11, 12, 13, 10});
        CHECK(read_opl(k_path + ways + relation(1, "landuse=military", "w2@outer")).areas.size() == 1);
        CHECK(read_opl(k_path + ways + relation(1, "landuse=meadow", "w2@outer")).areas.empty());
    }
    SUBCASE("an area way that lacks a node") {
        const auto ground =
            read_opl(k_path + square(10, 0.002) + way(2, "natural=water", {10, 11, 99, 13, 10}));
        CHECK(ground.areas.empty());
        CHECK(ground.shortfalls.size() == 1);
    }
}

TEST_CASE("tagged nodes near the route, and those on its ways by their node") {
    const auto ground =
        read_opl(node(1, 3.0, 56.001) + node(2, 3.01, 56.001, "barrier=gate,locked=yes") +
                 node(3, 3.02, 56.001) + way(1, "highway=path", {1, 2, 3}) +
                 node(4, 3.011, 56.0005, "amenity=toilets") + node(5, 3.01, 56.1, "amenity=pub"));
    REQUIRE(ground.tagged_nodes.size() == 2);
    const map::NodeIndex gate = ground.ways[0].nodes[1];
    REQUIRE(ground.tagged(gate));
    CHECK(ground.tagged(gate)->object.tags.is("barrier", "gate"));
    CHECK(ground.tagged(ground.ways[0].nodes[0]) == nullptr);
    CHECK(ground.tagged_nodes[0].object.edited_s == 1777593600); // 2026-05-01T00:00:00Z
}

TEST_CASE("deleted objects are not there, and of two versions the newest is") {
    CHECK(way_ids(read_opl(k_path + way(2, "highway=track", {1, 2}, "v2 dD t2026-06-01T00:00:00Z"))) ==
          std::vector<std::int64_t>{1});
    Folder folder;
    const std::string older = folder.converted(k_path, "older.osm");
    const std::string newer =
        folder.converted(node(1, 3.0, 56.001) + node(2, 3.01, 56.001) +
                             way(1, "highway=primary", {1, 2}, "v3 dV t2026-07-01T00:00:00Z"),
                         "newer.osm");
    for (const auto& paths : {std::vector{older, newer}, std::vector{newer, older}}) {
        const auto ground = map::read(paths, corridor());
        REQUIRE(ground.ways.size() == 1);
        CHECK(ground.ways[0].object.tags.is("highway", "primary"));
        CHECK(ground.sources.size() == 2);
    }
}

TEST_CASE("of several files the newest version counts for positions and deletions too") {
    Folder folder;
    const auto version = [](std::string line, const char* to) {
        line.replace(line.find(" v1 "), 4, std::string(" ") + to + " ");
        return line;
    };
    const std::string older = folder.converted(k_path + way(2, "highway=track", {1, 2}), "older.osm");
    const std::string moved = version(node(2, 3.01, 56.002), "v2") +
                              way(2, "", {}, "v2 dD t2026-07-01T00:00:00Z") +
                              way(3, "highway=steps", {2, 3}) + node(3, 3.02, 56.001);
    std::string sorted; // nodes before ways
    for (const char kind : std::string("nw")) {
        std::istringstream in(moved);
        for (std::string line; std::getline(in, line);)
            if (line[0] == kind) sorted += line + "\n";
    }
    const std::string newer = folder.converted(sorted, "newer.osh.pbf"); // a file that says what was deleted
    for (const auto& paths : {std::vector{older, newer}, std::vector{newer, older}}) {
        const auto ground = map::read(paths, corridor());
        CHECK(way_ids(ground) == std::vector<std::int64_t>{1, 3});
        REQUIRE(ground.nodes.size() == 3);
        CHECK(ground.nodes[1].position.lat_deg == doctest::Approx(56.002));
    }
}

TEST_CASE("a large pbf that ends before its relations is told of") {
    Folder folder;
    std::string opl;
    for (int i = 0; i < 1200; ++i)
        opl += node(i + 1, 3.0 + 0.000001 * i, 56.0);
    for (int i = 0; i + 1 < 1100; ++i)
        opl += way(i + 1, "highway=path", {i + 1, i + 2});
    CHECK(read_file(folder.converted(opl, "cut.osm.pbf")).shortfalls.size() == 1);
    CHECK(read_file(folder.converted(opl + relation(1, "type=route,route=hiking", "w1@"), "whole.osm.pbf"))
              .shortfalls.empty());
}

TEST_CASE("every format, order and number of threads gives the same ground") {
    const std::string opl =
        node(1, 3.0, 56.001) + node(2, 3.01, 56.001, "barrier=gate") + node(3, 3.02, 56.001) +
        square(10, 0.2) + square(20, 0.004) + way(1, "highway=path", {1, 2, 3}) +
        way(2, "landuse=military", {10, 11, 12, 13, 10}) + way(3, "source=a", {20, 21, 22}) +
        way(4, "source=b", {22, 23, 20}) + relation(1, "type=multipolygon,natural=wood", "w3@outer,w4@outer");
    const std::string expected = text_of(map::read_text(opl, "opl", corridor()));
    CHECK(expected.find("relation/1") != std::string::npos);
    CHECK(expected.find("way/2") != std::string::npos);
    Folder folder;
    for (const char* name : {"a.osm", "a.osm.gz", "a.osm.bz2", "a.opl", "a.opl.gz", "a.osm.pbf"}) {
        CAPTURE(name);
        const std::string path = folder.converted(opl, name);
        CHECK(text_of(read_file(path, 1)) == expected);
        CHECK(text_of(read_file(path, 4)) == expected);
    }
    std::vector<std::string> lines;
    std::istringstream in(opl);
    for (std::string line; std::getline(in, line);)
        lines.push_back(line + "\n");
    std::mt19937 random(5);
    for (int round = 0; round < 10; ++round) {
        std::shuffle(lines.begin(), lines.end(), random);
        std::string shuffled;
        for (const auto& line : lines)
            shuffled += line;
        CHECK(text_of(map::read_text(shuffled, "opl", corridor())) == expected);
        CHECK(text_of(read_file(folder.converted(shuffled, "s.osm.pbf"))) == expected);
    }
    // One block a type: what stands before or behind all others is not passed over.
    for (const std::string order : {"nrw", "rnw", "rwn", "wnr", "wrn"}) {
        CAPTURE(order);
        std::stable_sort(lines.begin(), lines.end(), [&](const std::string& a, const std::string& b) {
            return order.find(a[0]) < order.find(b[0]);
        });
        std::string sorted;
        for (const auto& line : lines)
            sorted += line;
        CHECK(text_of(read_file(folder.converted(sorted, "o.osm.pbf"))) == expected);
    }
}

TEST_CASE("bounds, coverage and data date come from the header where it has them") {
    Folder folder;
    osmium::io::Header header;
    header.add_box(osmium::Box(2.9, 55.9, 3.1, 56.1));
    header.set("osmosis_replication_timestamp", "2026-10-01T20:21:02Z");
    const auto with = read_file(folder.converted(k_path, "a.osm.pbf", header));
    REQUIRE(with.sources.size() == 1);
    CHECK(with.sources[0].data_until == "2026-10-01T20:21:02Z");
    CHECK(with.sources[0].data_until_from_header);
    CHECK(with.covers({3.05, 56.05}));
    CHECK(!with.covers({3.2, 56.0}));
    const auto without = read_file(folder.converted(k_path, "b.osm.pbf"));
    CHECK(!without.sources[0].bounds);
    CHECK(without.sources[0].data_until == "2026-06-01T00:00:00Z"); // the newest object's edit
    CHECK(without.covers({3.01, 56.001}));
    CHECK(!without.covers({3.05, 56.05}));
}

TEST_CASE("what is no map is refused in words") {
    Folder folder;
    CHECK(refusal("/no/such.osm.pbf").find("no such file") != std::string::npos);
    CHECK(refusal("/tmp").find("is a folder") != std::string::npos);
    CHECK(refusal(folder.put("empty.osm.pbf", "")).find("is empty") != std::string::npos);
    CHECK(refusal(folder.put("notes.txt", "hello")) != "read");
    CHECK(refusal(folder.put("a.osm", "<html></html>")) != "read");
    CHECK(refusal(folder.put("a.opl", "n1 nonsense\n")) != "read");
    CHECK(refusal(folder.put("a.osm.pbf", "this is no protobuf")) != "read");
    CHECK(refusal(folder.converted(node(1, 3, 56), "nodes.osm.pbf")).find("holds no ways at all") !=
          std::string::npos);
}

TEST_CASE("a pbf cut at any place or with changed bytes is read or refused, and never crashes") {
    Folder folder;
    std::string opl;
    for (int i = 0; i < 400; ++i)
        opl += node(i + 1, 3.0 + 0.00005 * i, 56.0 + 0.000001 * (i % 7), i % 9 == 0 ? "barrier=gate" : "");
    for (int i = 0; i < 100; ++i)
        opl += way(i + 1, "highway=path", {4 * i + 1, 4 * i + 2, 4 * i + 3, 4 * i + 4});
    const std::string path = folder.converted(opl, "a.osm.pbf");
    std::ifstream in(path, std::ios::binary);
    const std::string whole{std::istreambuf_iterator<char>(in), {}};
    std::size_t refused = 0;
    for (int percent = 1; percent < 100; ++percent)
        refused +=
            refusal(folder.put("cut.osm.pbf",
                               whole.substr(0, whole.size() * static_cast<std::size_t>(percent) / 100))) !=
            "read";
    CHECK(refused == 99);
    std::mt19937 random(2);
    for (int round = 0; round < 300; ++round) {
        std::string changed = whole;
        changed[random() % changed.size()] ^= static_cast<char>(1 << (random() % 8));
        refusal(folder.put("changed.osm.pbf", changed));
    }
}

TEST_CASE("the net holds every place within reach, across 180 degrees too") {
    // Reference: geodesic distance to points of the line, by PROJ.
    std::mt19937 random(4);
    for (const double middle_deg : {3.0, 179.995, -179.995}) {
        map::Corridor across{
            {{{middle_deg, 56.0},
              {middle_deg + 0.01 > 180 ? middle_deg + 0.01 - 360 : middle_deg + 0.01, 56.004}}},
            400};
        const map::CorridorNet net(across, 400);
        std::uniform_real_distribution<double> off(-0.03, 0.03);
        int held = 0;
        for (int i = 0; i < 4000; ++i) {
            geo::Position p{middle_deg + off(random), 56.0 + off(random) / 2};
            if (p.lon_deg > 180) p.lon_deg -= 360;
            if (p.lon_deg < -180) p.lon_deg += 360;
            const double metres =
                std::min(geo::distance_m(p, across.lines[0][0]), geo::distance_m(p, across.lines[0][1]));
            if (metres <= 400) CHECK(net.holds(p));
            if (metres > 2500) CHECK(!net.holds(p));
            held += net.holds(p);
        }
        CHECK(held > 100);
    }
}
