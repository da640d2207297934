#include "map/attribution.hpp"
#include "map/prepare.hpp"
#include "map/prepared_about.hpp"
#include "map/prepared_code.hpp"
#include "map/read.hpp"

#include <doctest/doctest.h>
#include <protozero/pbf_reader.hpp>
#include <protozero/pbf_writer.hpp>
#include <unistd.h>

#include <filesystem>
#include <fstream>

namespace {

using namespace waywarden;
namespace fs = std::filesystem;

const std::string k_osm = "© OpenStreetMap contributors";
const std::string k_island_file = WAYWARDEN_FIXTURES "/island.osm.pbf";

std::string bytes_of(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

/// The first blob of a pbf as the format has it (OSM wiki, PBF Format): a length of four bytes, a BlobHeader,
/// a Blob that holds a HeaderBlock, here with a `source` (17) or none.
std::string header_blob(const std::string* source) {
    std::string block, blob, head;
    protozero::pbf_writer(block).add_string(4, "OsmSchema-V0.6");
    protozero::pbf_writer(block).add_string(4, "DenseNodes");
    protozero::pbf_writer(block).add_string(16, "a program");
    if (source) protozero::pbf_writer(block).add_string(17, *source);
    protozero::pbf_writer(blob).add_bytes(1, block);
    protozero::pbf_writer(head).add_string(1, "OSMHeader");
    protozero::pbf_writer(head).add_int32(3, static_cast<std::int32_t>(blob.size()));
    std::string out;
    for (int shift = 24; shift >= 0; shift -= 8)
        out.push_back(static_cast<char>(head.size() >> shift));
    return out + head + blob;
}

/// The island's objects under another header, in a file that goes with this.
class MapUnder {
  public:
    MapUnder(const char* name, const std::string* source)
        : m_path((fs::temp_directory_path() / (name + std::to_string(::getpid()) + ".osm.pbf")).string()) {
        const std::string island = bytes_of(k_island_file);
        const auto head_size = static_cast<std::size_t>(static_cast<unsigned char>(island[3]));
        protozero::pbf_reader head(island.data() + 4, head_size);
        std::size_t blob_size = 0;
        while (head.next(3))
            blob_size = static_cast<std::size_t>(head.get_int32());
        std::ofstream(m_path, std::ios::binary)
            << header_blob(source) << island.substr(4 + head_size + blob_size);
    }
    ~MapUnder() { fs::remove(m_path); }
    MapUnder(const MapUnder&) = delete;
    MapUnder& operator=(const MapUnder&) = delete;
    const std::string& path() const { return m_path; }

  private:
    std::string m_path;
};

std::vector<std::string> credited(const std::vector<std::string>& maps) {
    map::Corridor corridor;
    corridor.lines = {{{2.2, 56.2}, {2.21, 56.2}}};
    std::vector<std::string> out;
    for (const map::Source& source : map::read(maps, corridor).sources)
        out.push_back(source.attribution);
    return out;
}

using Credits = std::vector<std::string>;

} // namespace

// Source: Open Database License 1.0, 4.3: who makes a produced work of the data says where they are from.
TEST_CASE("OpenStreetMap is credited unless a header says whose rights or licence the data are under") {
    for (const char* silent : {"", "?", "  \n", "http://www.openstreetmap.org/api/0.6", "OpenStreetMap",
                               "© OpenStreetMap contributors"})
        CHECK(map::attribution_of(silent) == k_osm);
    CHECK(map::attribution_of("Survey of Ulverskay 2026, licence CC0.") ==
          "Survey of Ulverskay 2026, licence CC0");
    CHECK(map::attribution_of("© Harbour Board of Ulverskay") == "© Harbour Board of Ulverskay");
    // The place that a file was fetched from drew nothing, and who adds to the map does not own all of it.
    for (const char* more : {"https://maps.example/ulverskay.osm.pbf", "Ulverskay extract",
                             "© OpenStreetMap contributors and the Harbour Board of Ulverskay",
                             "data (c) osm, heights (c) Harbour Board"})
        CHECK(map::attribution_of(more) == k_osm + "; the file names as its source: " + more);
}

TEST_CASE("a header's source is one line, and bounded") {
    CHECK(map::attribution_of("licence\r\n\x1b[31mfree") == "licence   [31mfree");
    CHECK(map::attribution_of("licence " + std::string(5'000'000, 'x')).size() <= 240);
    CHECK(map::attribution_of(std::string(5'000'000, 'x')).size() <= map::k_longest_attribution);
    const std::string cut = map::attribution_of("licence " + std::string(231, 'x') + "éé");
    CHECK(cut.size() <= 240);
    CHECK(cut.ends_with("x…"));
    for (std::size_t n = 220; n < 245; ++n) // never within a character
        CHECK(map::attribution_of("licence" + std::string(n, 'x') + "ééééééééééé").find("\xC3\xE2") ==
              std::string::npos);
}

TEST_CASE("the source of a pbf's header is read, and a prepared map carries it") {
    const std::string own = "Harbour Board of Ulverskay, licence CC0";
    const std::string hostile = "licence <script>alert(1)</script>" + std::string(3'000'000, 'x');
    const MapUnder silent("waywarden-silent-", nullptr), named("waywarden-named-", &own),
        huge("waywarden-huge-", &hostile);
    CHECK(credited({silent.path()}) == Credits{k_osm});
    CHECK(credited({named.path()}) == Credits{own});
    CHECK(credited({huge.path()}).front().size() <= 240);
    CHECK(credited({named.path(), silent.path()}) == Credits{own, k_osm});

    const std::string prepared = named.path() + ".prepared";
    map::prepare(std::vector{named.path(), silent.path()}, prepared, {});
    CHECK(credited({prepared}) == Credits{own, k_osm});
    fs::remove(prepared);
}

TEST_CASE("no prepared map leaves its attribution out") {
    for (const std::string& text : {std::string(), std::string(5000, 'x')}) {
        map::PreparedAbout about;
        about.sources.resize(1);
        CHECK_NOTHROW(map::about_from(map::to_code(about)));
        about.sources[0].attribution = text;
        CHECK_THROWS_AS(map::about_from(map::to_code(about)), map::Damaged);
    }
}

TEST_CASE("the invented island is credited to nobody who did not draw it") {
    const Credits island = credited({k_island_file});
    REQUIRE(island.size() == 1);
    CHECK(island.front().find("invented") != std::string::npos);
    CHECK(island.front().find("OpenStreetMap") == std::string::npos);
}

TEST_CASE("a map whose format has no such header is credited to OpenStreetMap") {
    map::Corridor corridor;
    corridor.lines = {{{3, 56}, {3.01, 56}}};
    const std::string xml =
        R"(<osm version="0.6" attribution="somebody, licence CC0"><node id="1" lat="56" lon="3"/>)"
        R"(<node id="2" lat="56" lon="3.01"/><way id="1"><nd ref="1"/><nd ref="2"/>)"
        R"(<tag k="highway" v="path"/></way></osm>)";
    CHECK(map::read_text(xml, "osm", corridor).sources.front().attribution == k_osm);
}
