#pragma once

#include "map/spill.hpp"

#include <cstdint>
#include <functional>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace waywarden::map {

/// Puts records into the order of a cell and an id, within the memory allowed; the rest goes to disk in
/// sorted runs.
class RecordSorter {
  public:
    RecordSorter(std::size_t memory_bytes, const std::string& folder);

    void add(std::uint64_t cell, std::int64_t id, std::string_view bytes);

    using Take = std::function<void(std::uint64_t cell, std::int64_t id, std::string_view bytes)>;
    /// The records of several sorters in one order; they are spent afterwards. Records of the same cell and
    /// id come in no particular order.
    static void merge(std::vector<RecordSorter>& sorters, const Take& take);

  private:
    struct Item {
        std::uint64_t cell;
        std::int64_t id;
        const char* at;
        std::uint32_t size;
    };
    struct Run {
        std::uint64_t begin, end;
    };
    class Stream;
    class MemoryStream;
    class RunStream;
    class RunWriter;
    using Streams = std::vector<std::unique_ptr<Stream>>;
    static void merge(const Streams& streams, const Take& take);
    void sort();
    void spill();
    void join_runs(); ///< until so few are left that a piece of each fits into a quarter of the memory
    char* room_for(std::size_t size);

    static constexpr std::size_t k_chunk = 1 << 20;
    std::size_t m_memory;
    SpillFile m_spill;
    std::vector<Item> m_items;
    std::vector<std::unique_ptr<char[]>> m_chunks;
    std::size_t m_chunk_left = 0, m_held = 0;
    std::vector<Run> m_runs;
};

} // namespace waywarden::map
