#pragma once

#include "map/spill.hpp"

#include <osmium/osm/location.hpp>

#include <array>
#include <cstdint>
#include <string>
#include <vector>

namespace waywarden::map {

/// Where every node of a file is: some five bytes a node, in blocks of neighbouring ids. What exceeds the
/// memory allowed goes to disk.
class NodePlaces {
    static constexpr std::size_t k_block = 128, k_chunk = 1 << 20;

  public:
    struct Place {
        osmium::Location location{}; ///< undefined: the file says that the node is deleted
        std::uint32_t version = 0;
        bool known = false;
    };

    NodePlaces(std::size_t memory_bytes, const std::string& folder)
        : m_memory(memory_bytes), m_spill(folder) {}
    /// Ids must ascend strictly. Throws NotSorted where they do not.
    void add(std::int64_t id, osmium::Location location, std::uint32_t version);
    void close(); ///< after the last node
    bool empty() const { return m_blocks.empty(); }
    std::int64_t first_id() const { return m_blocks.front().first_id; }
    std::int64_t last_id() const { return m_last_id; }

    /// Looks places up, remembering the blocks it used last. One a thread; not used after the places go.
    class Finder {
      public:
        explicit Finder(const NodePlaces& places) : m_places(&places), m_slots(k_slots) {}
        Place find(std::int64_t id);

      private:
        static constexpr std::size_t k_slots = 512;
        struct Slot {
            std::size_t block = SIZE_MAX;
            std::size_t count = 0;
            std::array<std::int64_t, k_block> ids;
            std::array<Place, k_block> places;
        };
        const Slot& slot_of(std::size_t block);
        const NodePlaces* m_places;
        std::vector<Slot> m_slots;
        std::size_t m_last = 0; ///< the block found last: the next one sought is often in it
        std::string m_bytes;
    };

  private:
    struct Block {
        std::int64_t first_id;
        std::uint64_t at; ///< of its bytes, counted over all chunks
    };
    std::string_view bytes_of(std::size_t block, std::string& into) const;
    void end_block();

    std::size_t m_memory;
    SpillFile m_spill;
    std::vector<Block> m_blocks;
    std::vector<std::string> m_chunks; ///< those on disk are empty
    std::vector<std::uint64_t> m_on_disk;
    std::size_t m_held = 0;
    std::string m_bytes; ///< of the block being filled
    std::size_t m_in_block = 0;
    std::int64_t m_last_id = INT64_MIN;
    osmium::Location m_last{0, 0};
};

} // namespace waywarden::map
