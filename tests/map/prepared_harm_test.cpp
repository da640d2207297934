#include "error.hpp"
#include "map/prepared_about.hpp"
#include "map/prepared_columns.hpp"
#include "map/prepared_file.hpp"
#include "map/prepared_objects.hpp"
#include "map/read.hpp"

#include <doctest/doctest.h>
#include <osmium/builder/attr.hpp>
#include <unistd.h>

#include <cstdint>
#include <filesystem>

/// Prepared maps that only somebody who means harm would write: right checksums around what cannot be. Found
/// by fuzzing (tests/fuzz/prepared_map.cpp).
namespace {

using namespace waywarden;

constexpr std::uint64_t k_row = std::uint64_t{1} << 32,
                        k_column = std::uint64_t{1} << 8; // steps of a sum's key

class File {
  public:
    File()
        : m_path(std::filesystem::temp_directory_path() / ("waywarden-harm-" + std::to_string(::getpid()))) {}
    ~File() { std::filesystem::remove(m_path); }
    File(const File&) = delete;
    File& operator=(const File&) = delete;
    std::string path() const { return m_path; }

  private:
    std::filesystem::path m_path;
};

/// The sum of 100 m of footway in the cell south-west of 3 E 56 N, by what a whole map gives for a path
/// there.
std::uint64_t key_near_the_route() {
    osmium::memory::Buffer buffer(1024, osmium::memory::Buffer::auto_grow::yes);
    osmium::builder::add_tag_list(buffer, osmium::builder::attr::_tag("highway", "footway"));
    map::Tallies tallies;
    map::Tallies::Way(tallies, buffer.get<osmium::TagList>(0)).piece({3.001, 56.001}, {3.002, 56.001});
    return tallies.cells().begin()->first;
}

/// Reads, around 3 E 56 N, a map that holds these records of sums and nothing else.
map::Ground read_sums(const std::string& records) {
    const File file;
    constexpr std::int32_t x = 30'010'000, y = 560'010'000;
    {
        map::PreparedWriter out(file.path());
        out.add(map::cell_of(map::Layer::tallies, {x, y, x, y}),
                map::packed_part(map::Layer::tallies, records));
        out.finish(map::to_code({}));
    }
    map::Corridor corridor;
    corridor.lines = {{{3.0, 56.0}, {3.01, 56.0}}};
    return map::read(std::vector{file.path()}, corridor);
}

std::string record(std::int64_t& last, std::uint64_t key) {
    std::string sum, out;
    map::write_tally({10'000, 0, 0, 0, 0, 0}, sum);
    map::put_record(out, last, static_cast<std::int64_t>(key), sum);
    return out;
}

} // namespace

TEST_CASE("a sum for a place off the globe is refused") {
    const std::uint64_t near = key_near_the_route();
    const auto read_one = [](std::uint64_t key) {
        std::int64_t last = 0;
        return read_sums(record(last, key));
    };
    const auto is_refused = [&](std::uint64_t key) {
        CHECK_THROWS_WITH_AS(read_one(key), doctest::Contains("off the globe"), DataError);
    };
    const map::Ground ground = read_one(near);
    REQUIRE(ground.tallies.cells().size() == 1);
    CHECK(ground.tallies.cells().begin()->first == near);
    CHECK(ground.tallies.cells().begin()->second.all_cm == 10'000);
    // Rows are 1/200 of a degree from the south pole, columns 1/100 from 180 W: the last of each, and one
    // more.
    const std::uint64_t no_row = near % k_row, no_column = near - near % k_row + near % k_column;
    CHECK_NOTHROW(read_one(no_row + (180 * 200 - 1) * k_row));
    is_refused(no_row + 180 * 200 * k_row);
    CHECK_NOTHROW(read_one(no_column + (360 * 100 - 1) * k_column));
    is_refused(no_column + 360 * 100 * k_column);
    is_refused(UINT64_MAX);
    is_refused(std::uint64_t{1} << 63);
}

TEST_CASE("ids at both ends of what 64 bits can hold are written and read again") {
    std::string part;
    std::int64_t last = 0;
    const std::vector<std::int64_t> ids{INT64_MAX, INT64_MIN, -1, INT64_MAX, 0};
    for (const std::int64_t id : ids)
        map::put_record(part, last, id, "x");
    std::vector<std::int64_t> again;
    map::for_each_record(part, [&](std::int64_t id, std::string_view) { again.push_back(id); });
    CHECK(again == ids);
}

TEST_CASE("a time that no map can hold is refused") {
    const auto read_node = [](std::uint64_t edited_s) {
        std::string code;
        map::CodeWriter out(code);
        out.difference(30'000'000);
        out.difference(560'000'000);
        out.number(edited_s);
        map::CodeReader in(code);
        return map::read_node(in).edited_s;
    };
    CHECK(read_node(UINT32_MAX) == UINT32_MAX); // 2106, the last that libosmium knows
    for (const std::uint64_t edited_s : {std::uint64_t{UINT32_MAX} + 1, std::uint64_t{INT64_MAX}, UINT64_MAX})
        CHECK_THROWS_AS(read_node(edited_s), map::Damaged);
}
