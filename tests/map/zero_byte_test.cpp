#include "error.hpp"
#include "map/prepare.hpp"
#include "map/read.hpp"

#include <doctest/doctest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <iterator>

/// A zero byte in a text parts a tag in two that are wrong, and the last is read beyond its end. Found by
/// fuzzing: in a pbf without compression, whose blobs have no checksum, one changed byte is enough.
namespace {

using namespace waywarden;
namespace fs = std::filesystem;

/// A made pbf without compression; the byte before it is the fuzz target's.
std::string small_map() {
    std::ifstream in(WAYWARDEN_TESTS "/fuzz/seeds/map_file/plain.osm.pbf", std::ios::binary);
    return std::string(std::istreambuf_iterator<char>(in), {}).substr(1);
}

/// The same with the second letter of the first such word made zero.
std::string damaged(const std::string& word) {
    std::string bytes = small_map();
    bytes.at(bytes.find(word) + 1) = '\0';
    return bytes;
}

} // namespace

TEST_CASE("a zero byte in a tag is refused, also when a map is prepared") {
    const map::Corridor corridor{{{{3.0, 56.0}, {3.01, 56.005}}}};
    const fs::path folder = fs::temp_directory_path() / ("waywarden-zero-" + std::to_string(::getpid()));
    fs::create_directories(folder);
    const std::string map = folder / "map.osm.pbf", prepared = folder / "prepared";
    CHECK(map::read_text(small_map(), "pbf", corridor).ways.size() > 0);
    // Of a node, a way and a relation: of one the key, of the others the value.
    for (const char* word : {"barrier", "path", "multipolygon"}) {
        CAPTURE(word);
        std::ofstream(map, std::ios::binary) << damaged(word);
        CHECK_THROWS_WITH_AS(map::read_text(damaged(word), "pbf", corridor),
                             doctest::Contains("holds a zero byte"), DataError);
        CHECK_THROWS_WITH_AS(map::read(std::vector{map}, corridor), doctest::Contains("holds a zero byte"),
                             DataError);
        CHECK_THROWS_WITH_AS(map::prepare(std::vector{map}, prepared, {}),
                             doctest::Contains("holds a zero byte"), DataError);
        CHECK_FALSE(fs::exists(prepared));
    }
    fs::remove_all(folder);
}
