#include "error.hpp"
#include "ground_text.hpp"
#include "map/prepare.hpp"
#include "map/prepared_code.hpp"
#include "map/prepared_file.hpp"
#include "map/prepared_objects.hpp"
#include "map/read.hpp"

#include <doctest/doctest.h>
#include <osmium/builder/attr.hpp>
#include <osmium/io/any_input.hpp>
#include <osmium/io/any_output.hpp>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>

namespace {

using namespace waywarden;
namespace fs = std::filesystem;

class Folder {
  public:
    Folder() : m_path(fs::temp_directory_path() / ("waywarden-prepared-" + std::to_string(::getpid()))) {
        fs::remove_all(m_path);
        fs::create_directories(m_path);
    }
    ~Folder() { fs::remove_all(m_path); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    std::string operator/(const std::string& name) const { return (m_path / name).string(); }
    std::size_t files() const {
        return static_cast<std::size_t>(std::distance(fs::directory_iterator(m_path), {}));
    }

  private:
    fs::path m_path;
};

void write(const std::string& path, const std::string& bytes) {
    std::ofstream(path, std::ios::binary) << bytes;
}

std::string read(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

std::string node(std::int64_t id, double lon, double lat, const std::string& tags = "",
                 const std::string& head = "v1 dV t2026-05-01T00:00:00Z") {
    std::ostringstream out;
    out.precision(9);
    out << "n" << id << " " << head << " c1 i1 u T" << tags << " x" << lon << " y" << lat << "\n";
    return out.str();
}

std::string way(std::int64_t id, const std::string& tags, const std::vector<std::int64_t>& nodes,
                const std::string& head = "v1 dV t2026-06-01T00:00:00Z") {
    std::string out = "w" + std::to_string(id) + " " + head + " c1 i1 u T" + tags + " N";
    for (std::size_t i = 0; i < nodes.size(); ++i)
        out += (i ? ",n" : "n") + std::to_string(nodes[i]);
    return out + "\n";
}

std::string relation(std::int64_t id, const std::string& tags, const std::string& members) {
    return "r" + std::to_string(id) + " v1 dV c1 t2026-06-01T00:00:00Z i1 u T" + tags + " M" + members + "\n";
}

/// A corridor of 400 m around a straight line from 3 E 56 N to the east, 1.2 km long.
map::Corridor corridor() {
    map::Corridor out;
    out.lines = {{{3.0, 56.0}, {3.02, 56.0}}};
    return out;
}

/// Four corners, ids from `first`, around a place.
std::string square(std::int64_t first, double half_deg, double lon = 3.01, double lat = 56) {
    return node(first, lon - 2 * half_deg, lat - half_deg) +
           node(first + 1, lon + 2 * half_deg, lat - half_deg) +
           node(first + 2, lon + 2 * half_deg, lat + half_deg) +
           node(first + 3, lon - 2 * half_deg, lat + half_deg);
}

std::vector<std::int64_t> ring(std::int64_t first) {
    return {first, first + 1, first + 2, first + 3, first};
}

const std::string k_path = node(1, 3.0, 56.001) + node(2, 3.01, 56.001, "barrier=gate") +
                           node(3, 3.02, 56.001) + way(1, "highway=path,surface=grass", {1, 2, 3});

std::string ground_of(const std::vector<std::string>& maps, const map::Corridor& along = corridor()) {
    return text_of(map::read(maps, along));
}

/// The first line in which two texts differ; empty where they do not.
std::string difference(const std::string& a, const std::string& b) {
    std::istringstream lines_a(a), lines_b(b);
    for (std::string line_a, line_b;;) {
        const bool more_a = static_cast<bool>(std::getline(lines_a, line_a));
        const bool more_b = static_cast<bool>(std::getline(lines_b, line_b));
        if (!more_a && !more_b) return {};
        if (more_a != more_b || line_a != line_b)
            return (more_a ? line_a : "(end)") + " | " + (more_b ? line_b : "(end)");
    }
}

/// Holds the prepared map against the extracts; gives what both say.
std::string same(const Folder& folder, const std::vector<std::string>& maps,
                 const map::Corridor& along = corridor()) {
    const std::string prepared = folder / "prepared";
    map::prepare(maps, prepared, {});
    const std::string extract = ground_of(maps, along);
    CHECK(difference(ground_of({prepared}, along), extract) == "");
    return extract;
}

std::string same(const std::string& opl) {
    const Folder folder;
    write(folder / "map.opl", opl);
    return same(folder, {folder / "map.opl"});
}

bool has(const std::string& text, const std::string& word) {
    return text.find(word) != std::string::npos;
}

/// A map of all that can matter, some thousand objects, with negative ids, holes and what lies far.
std::string made_map(std::uint32_t seed) {
    std::mt19937 random(seed);
    const auto any = [&](double low, double high) {
        return low + (high - low) * static_cast<double>(random() % 100000) / 100000;
    };
    static const char* const tags[] = {"highway=track",   "highway=residential,lit=yes,sidewalk=both",
                                       "building=yes",    "landuse=military",
                                       "natural=water",   "barrier=fence",
                                       "shop=yes",        "natural=wood",
                                       "waterway=stream", "highway=footway,foot=designated"};
    std::string nodes, ways, relations;
    std::int64_t next = -3000;
    for (int i = 1; i <= 400; ++i) {
        const std::int64_t id = i % 3 ? i : -i;
        const double scale = i % 20 == 0 ? 0.3 : 0.004;
        double lon = any(2.9, 3.12), lat = any(55.94, 56.06);
        std::vector<std::int64_t> refs;
        const int count = 2 + static_cast<int>(random() % 9);
        for (int k = 0; k < count; ++k) {
            const char* tagged =
                random() % 9 == 0 ? (random() % 2 ? "barrier=stile" : "highway=crossing") : "";
            if (random() % 60 != 0) nodes += node(next, lon, lat, tagged); // else it lacks
            refs.push_back(random() % 12 == 0 && next > -2990 ? next - 7 : next);
            ++next;
            lon += any(-scale, scale);
            lat += any(-scale, scale) / 2;
        }
        if (random() % 2 && refs.size() > 2) refs.push_back(refs.front());
        ways += way(id, tags[random() % std::size(tags)], refs);
    }
    for (int i = 1; i <= 60; ++i) {
        std::string members;
        for (int k = 0; k < 1 + static_cast<int>(random() % 3); ++k) {
            const int at = 1 + static_cast<int>(random() % 410); // some lack
            members +=
                (k ? ",w" : "w") + std::to_string(at % 3 ? at : -at) + (random() % 3 ? "@outer" : "@inner");
        }
        static const char* const kinds[] = {
            "type=multipolygon,natural=water", "type=multipolygon,landuse=forest",
            "type=boundary,boundary=military", "type=multipolygon,building=yes", "type=route,route=hiking"};
        relations += relation(i, kinds[random() % std::size(kinds)], members);
    }
    return nodes + ways + relations;
}

} // namespace

TEST_CASE("a prepared map gives the same ground as the extract: a path with a gate") {
    const std::string text = same(k_path);
    CHECK(has(text, "way/1"));
    CHECK(has(text, "barrier=gate"));
    CHECK(has(text, "surface=grass"));
}

TEST_CASE("a large area that holds the route is found though it has no node near") {
    CHECK(has(same(k_path + square(10, 0.5) + way(2, "landuse=military", ring(10))), "area way/2"));
    CHECK(has(same(k_path + square(10, 0.5) + way(2, "", ring(10)) +
                   relation(5, "type=multipolygon,landuse=military", "w2@outer")),
              "area relation/5"));
}

TEST_CASE("a road whose nodes all lie far is found where it passes between them") {
    CHECK(has(same(k_path + node(20, 2.9, 56) + node(21, 3.1, 56) + way(7, "highway=primary", {20, 21})),
              "way/7"));
}

TEST_CASE("what the extract lacks is told of as from the extract") {
    const std::string lacks = "type=multipolygon,natural=water";
    CHECK(has(
        same(k_path + square(10, 0.001) + way(2, "", ring(10)) + relation(5, lacks, "w2@outer,w99@outer")),
        "1 of its ways"));
    // A danger is told of however far it lies, and even without a place.
    CHECK(has(same(k_path + square(10, 0.1, 8, 50) + way(2, "", ring(10)) +
                   relation(5, "type=multipolygon,landuse=military", "w2@outer,w99@outer")),
              "relation/5"));
    CHECK(has(same(k_path + relation(5, "type=multipolygon,military=range", "w98@outer,w99@outer")),
              "2 of its ways"));
    CHECK(has(same(k_path + relation(5, "type=multipolygon,military=range", "")), "has no ways"));
    CHECK(has(same(k_path + relation(5, lacks, "w98@outer,w99@outer")), "2 of its ways"));
    CHECK(has(same(k_path + square(10, 0.2) + way(2, "", {10, 11, 12, 13}) + relation(5, lacks, "w2@outer")),
              "cannot be assembled"));
    for (const double half_deg : {0.001, 0.2})
        CHECK(has(same(k_path + square(10, half_deg) + way(2, "military=danger_area", {10, 11, 12, 13})),
                  "does not close"));
    CHECK(has(same(k_path + node(30, 3.01, 56) + way(8, "highway=track", {30, 31, 1})), "runs on"));
}

TEST_CASE("a danger of which no area can be made is told of everywhere") {
    const std::string open = node(10, 8, 50) + node(11, 8.1, 50) + way(2, "", {10, 11});
    CHECK(has(same(k_path + open + relation(5, "type=multipolygon,landuse=military", "w2@outer")),
              "cannot be assembled"));
}

TEST_CASE("negative ids, as editors give to what is new") {
    CHECK(has(same(node(-1, 3.0, 56.001, "barrier=stile") + node(-2, 3.01, 56.001) +
                   way(-9, "highway=footway", {-1, -2})),
              "way/-9"));
}

TEST_CASE("a map without relations and with many ways is told to be cut short") {
    std::string ways;
    for (int i = 2; i < 10'010; ++i)
        ways += way(i, "highway=track", {1, 3});
    CHECK(has(same(k_path + ways), "probably cut short"));
}

TEST_CASE("made maps in OPL, in XML and in PBF, around a short, a long and a far line") {
    std::vector<map::Corridor> lines(4, corridor());
    lines[1].lines = {{{2.9, 55.95}, {3.0, 56.0}, {3.1, 56.05}}, {{3.1, 55.95}, {3.0, 56.0}}};
    lines[2].lines = {{{5.0, 57.0}, {5.01, 57.0}}};
    lines[3].lines = {{{3.03, 56.02}}};
    for (const std::uint32_t seed : {1u, 2u, 3u, 4u, 5u, 6u}) {
        const Folder folder;
        write(folder / "map.opl", made_map(seed));
        for (const char* format : {"map.osm", "map.osm.pbf"}) {
            osmium::io::Reader reader(folder / "map.opl");
            osmium::io::Writer writer(folder / format);
            while (osmium::memory::Buffer buffer = reader.read())
                writer(std::move(buffer));
            writer.close();
        }
        for (const char* format : {"map.opl", "map.osm", "map.osm.pbf"}) {
            const std::string extract = folder / format, prepared = folder / "prepared";
            map::prepare(std::vector{extract}, prepared, {});
            for (const map::Corridor& line : lines)
                CHECK(difference(ground_of({prepared}, line), ground_of({extract}, line)) == "");
        }
    }
}

TEST_CASE("any number of threads and any memory give the same file") {
    const Folder folder;
    write(folder / "map.opl", made_map(7));
    osmium::io::Reader reader(folder / "map.opl");
    osmium::io::Writer writer(folder / "map.osm.pbf");
    while (osmium::memory::Buffer buffer = reader.read())
        writer(std::move(buffer));
    writer.close();
    const std::vector maps{folder / "map.osm.pbf"};
    map::prepare(maps, folder / "one", {std::size_t{1} << 20, 1, {}});
    map::prepare(maps, folder / "three", {std::size_t{1} << 30, 3, {}});
    CHECK(read(folder / "one") == read(folder / "three"));
}

TEST_CASE("of several extracts the newest version counts, and what both hold is there once") {
    const Folder folder;
    write(folder / "old.opl", k_path + way(2, "highway=track", {1, 3}) + way(3, "highway=steps", {2, 3}));
    write(folder / "new.opl", node(2, 3.0101, 56.0012, "barrier=stile", "v2 dV t2026-07-01T00:00:00Z") +
                                  k_path + way(2, "highway=footway", {1, 3}, "v2 dV t2026-07-01T00:00:00Z") +
                                  way(3, "", {}, "v2 dD t2026-07-01T00:00:00Z"));
    const std::string text = same(folder, {folder / "old.opl", folder / "new.opl"});
    CHECK(has(text, "highway=footway"));
    CHECK_FALSE(has(text, "highway=track"));
    CHECK_FALSE(has(text, "highway=steps"));
    CHECK(has(text, "barrier=stile"));
    CHECK_FALSE(has(text, "barrier=gate"));
    CHECK(same(folder, {folder / "new.opl", folder / "old.opl"}).size() == text.size());
}

TEST_CASE("a line across the 180th degree") {
    const Folder folder;
    write(folder / "map.opl", node(1, 179.99, 56) + node(2, -179.99, 56) +
                                  node(3, -179.98, 56.001, "barrier=gate") +
                                  way(1, "highway=path", {1, 2, 3}) + square(10, 0.001, -179.99) +
                                  way(2, "landuse=military", ring(10)));
    map::Corridor along;
    along.lines = {{{179.98, 56}, {-179.98, 56}}};
    const std::string text = same(folder, {folder / "map.opl"}, along);
    CHECK(has(text, "way/1"));
    CHECK(has(text, "area way/2"));
    CHECK(has(text, "barrier=gate"));
}

TEST_CASE("a prepared map stands alone, and is known by its looks") {
    const Folder folder;
    write(folder / "map.opl", k_path);
    const std::string prepared = folder / "called.osm.pbf";
    map::prepare(std::vector{folder / "map.opl"}, prepared, {});
    CHECK(ground_of({prepared}) == ground_of({folder / "map.opl"}));
    CHECK_THROWS_WITH_AS(map::read(std::vector{prepared, folder / "map.opl"}, corridor()),
                         doctest::Contains("stands alone"), ArgumentError);
    CHECK_THROWS_WITH_AS(map::prepare(std::vector{prepared}, folder / "again", {}),
                         doctest::Contains("is a prepared map already"), ArgumentError);
}

TEST_CASE("only a whole map takes the place of what was there, and nothing is left over") {
    const Folder folder;
    write(folder / "map.opl", k_path);
    write(folder / "broken.opl", k_path + "w2 no such thing\n");
    const std::string prepared = folder / "prepared";
    map::prepare(std::vector{folder / "map.opl"}, prepared, {});
    const std::string before = read(prepared);
    CHECK_THROWS_AS(map::prepare(std::vector{folder / "broken.opl"}, prepared, {}), DataError);
    CHECK(read(prepared) == before);
    CHECK(folder.files() == 3);
    CHECK_THROWS_WITH_AS(map::prepare(std::vector{folder / "broken.opl"}, folder / "map.opl", {}),
                         doctest::Contains("no prepared map"), DataError);
    CHECK(read(folder / "map.opl") == k_path);
    CHECK_THROWS_AS(map::prepare(std::vector{folder / "map.opl"}, folder / "no/such/folder", {}), DataError);
}

TEST_CASE("a byte changed anywhere, or an end cut off anywhere, is refused or changes nothing") {
    const Folder folder;
    write(folder / "map.opl", k_path + square(10, 0.5) + way(2, "", ring(10)) +
                                  relation(5, "type=multipolygon,landuse=military", "w2@outer"));
    const std::string prepared = folder / "prepared", damaged = folder / "damaged";
    map::prepare(std::vector{folder / "map.opl"}, prepared, {});
    const std::string whole = read(prepared), said = ground_of({prepared});
    int refused = 0;
    const auto try_it = [&](const std::string& bytes) {
        write(damaged, bytes);
        std::string told;
        try {
            told = ground_of({damaged});
        } catch (const DataError&) {
            ++refused;
            return;
        }
        CHECK(told == said);
    };
    for (std::size_t i = 0; i < whole.size(); ++i)
        for (const int bit : {0, 3, 7}) {
            std::string bytes = whole;
            bytes[i] = static_cast<char>(bytes[i] ^ 1 << bit);
            try_it(bytes);
        }
    // Every byte of so small a map is needed for this route.
    CHECK(refused == 3 * static_cast<int>(whole.size()));
    for (std::size_t size = 0; size < whole.size(); ++size)
        try_it(whole.substr(0, size));
    CHECK(refused == 4 * static_cast<int>(whole.size()));
    try_it(whole + "more");
    CHECK(refused == 4 * static_cast<int>(whole.size()) + 1);
}

TEST_CASE("what is wrong behind right checksums is refused in words") {
    const Folder folder;
    const std::string path = folder / "odd";
    const auto refused_with = [&](const char* about) {
        {
            map::PreparedWriter out(path);
            out.finish(about);
        }
        CHECK_THROWS_WITH_AS(map::read(std::vector{path}, corridor()),
                             doctest::Contains("odd: this prepared map is damaged"), DataError);
    };
    {
        map::PreparedWriter out(path);
        out.add(std::uint64_t{1} << 56 | std::uint64_t{1} << 48, ""); // nodes, level 1: cells of 22 cm
        out.finish("");
    }
    CHECK_THROWS_WITH_AS(map::read(std::vector{path}, corridor()),
                         doctest::Contains("level that there is not"), DataError);
    refused_with("\x7f");     // a count of sources that cannot be
    refused_with("\x01\x7f"); // one source, whose path runs past the end
}

TEST_CASE("a sum for a class of road that there is not is refused") {
    osmium::memory::Buffer buffer(1024, osmium::memory::Buffer::auto_grow::yes);
    osmium::builder::add_tag_list(buffer, osmium::builder::attr::_tag("highway", "motorway"));
    const auto& road = buffer.get<osmium::TagList>(0);
    for (const std::uint64_t of_class : {26u, 27u, 200u}) { // the lowest eight bits; there are 27 classes
        map::Tallies tallies;
        // The cell at 3 E 56 N, by what a whole map gives for a road there.
        map::Tallies::Way(tallies, road).piece({3.01, 56.001}, {3.011, 56.001});
        REQUIRE(tallies.cells().size() == 1);
        map::Tallies changed;
        changed.put((tallies.cells().begin()->first & ~std::uint64_t{0xFF}) | of_class, {});
        if (of_class < 27) CHECK_NOTHROW(changed.within(corridor()));
        if (of_class >= 27) CHECK_THROWS_AS(changed.within(corridor()), map::Damaged);
    }
}

TEST_CASE("texts that libosmium cannot hold are refused before they reach it") {
    const auto tags = [](std::string_view key) {
        std::string code;
        map::CodeWriter out(code);
        out.number(1);
        out.text(key);
        out.text("yes");
        return code;
    };
    using namespace std::string_view_literals;
    for (const std::string& code : {tags("ford\0"sv), tags("\0ford"sv), tags(std::string(1025, 'k'))}) {
        osmium::memory::Buffer buffer(1024, osmium::memory::Buffer::auto_grow::yes);
        map::PlainWay way;
        way.tags = code;
        CHECK_THROWS_AS(map::add_to(buffer, way), map::Damaged);
        map::CodeReader in(code);
        CHECK_THROWS_AS(map::read_tags(in), map::Damaged);
    }
    const std::string longest = tags(std::string(1024, 'k'));
    map::CodeReader in(longest);
    CHECK(map::read_tags(in).pairs().size() == 1);
}

TEST_CASE("a map of another edition is refused in words") {
    const Folder folder;
    write(folder / "map.opl", k_path);
    const std::string prepared = folder / "prepared";
    map::prepare(std::vector{folder / "map.opl"}, prepared, {});
    std::string bytes = read(prepared);
    const std::string mark("walking map\r\n\x1a\n\0", 16);
    REQUIRE(bytes.starts_with(mark));
    bytes[mark.size()] = static_cast<char>(map::k_prepared_edition + 1);
    std::string head = bytes.substr(0, mark.size() + 4);
    map::CodeWriter(head).fixed32(map::checksum(head));
    bytes.replace(0, head.size(), head);
    write(prepared, bytes);
    CHECK_THROWS_WITH_AS(map::read(std::vector{prepared}, corridor()), doctest::Contains("a newer waywarden"),
                         DataError);
}

TEST_CASE("what is kept of a map has not changed under the edition") {
    // If this fails, prepared maps may lack what is now asked for: raise k_prepared_edition in
    // src/map/prepared_file.hpp, unless the change cannot matter, and put the new fingerprint here.
    CHECK(map::k_prepared_edition == 3);
    const std::string sources = WAYWARDEN_TESTS "/../src/map/";
    CHECK(map::checksum(read(sources + "interest.cpp") + read(sources + "surroundings.cpp")) == 863259534u);
}
