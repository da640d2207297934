#include "map/record_sorter.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <random>
#include <tuple>

using namespace waywarden::map;

// A plain sort of the same records stands beside it.
TEST_CASE("records come in order however many runs went to disk, also runs that were joined") {
    struct Record {
        std::uint64_t cell;
        std::int64_t id;
        std::string bytes;
    };
    std::mt19937_64 rng(16);
    // The least memory is 4 MiB: runs of some 2.7 MiB, of which it reads 16 side by side.
    for (const std::size_t megabytes : {0u, 1u, 20u, 70u}) {
        std::vector<RecordSorter> sorters;
        for (int i = 0; i < 2; ++i)
            sorters.emplace_back(0, std::filesystem::temp_directory_path().string());
        std::vector<Record> expected;
        for (std::size_t held = 0; held < megabytes << 20;) {
            Record one{rng() % 500, static_cast<std::int64_t>(rng()), std::string(1000 + rng() % 3000, '\0')};
            for (char& c : one.bytes)
                c = static_cast<char>(expected.size() >> (rng() % 8));
            held += one.bytes.size();
            // Nearly all go to the first of the two, as on a thread that had more to do.
            sorters[rng() % 10 == 0 ? 1 : 0].add(one.cell, one.id, one.bytes);
            expected.push_back(std::move(one));
        }
        std::sort(expected.begin(), expected.end(), [](const Record& a, const Record& b) {
            return std::tie(a.cell, a.id) < std::tie(b.cell, b.id);
        });
        std::size_t at = 0, wrong = 0;
        RecordSorter::merge(sorters, [&](std::uint64_t cell, std::int64_t id, std::string_view bytes) {
            if (at == expected.size() || expected[at].cell != cell || expected[at].id != id ||
                expected[at].bytes != bytes)
                ++wrong;
            ++at;
        });
        CHECK(at == expected.size());
        CHECK(wrong == 0);
    }
}
