#include "map/node_places.hpp"

#include "map/prepared_code.hpp"
#include "map/sorted_pbf.hpp"

#include <algorithm>

namespace waywarden::map {

void NodePlaces::add(std::int64_t id, osmium::Location location, std::uint32_t version) {
    if (id <= m_last_id) throw NotSorted();
    CodeWriter out(m_bytes);
    if (m_in_block == 0) {
        m_blocks.push_back({id, 0});
        m_last = {0, 0};
    } else {
        out.number(static_cast<std::uint64_t>(id) - static_cast<std::uint64_t>(m_last_id));
    }
    out.difference(std::int64_t{location.x()} - m_last.x());
    out.difference(std::int64_t{location.y()} - m_last.y());
    out.number(version);
    m_last_id = id;
    m_last = location;
    if (++m_in_block == k_block) end_block();
}

void NodePlaces::end_block() {
    if (m_chunks.empty() || m_chunks.back().size() + m_bytes.size() > k_chunk) {
        if (!m_chunks.empty() && m_held > m_memory) {
            m_on_disk.resize(m_chunks.size(), UINT64_MAX);
            m_on_disk.back() = m_spill.append(m_chunks.back());
            m_held -= k_chunk;
            std::string().swap(m_chunks.back());
        }
        m_chunks.emplace_back().reserve(k_chunk);
        m_held += k_chunk;
    }
    m_blocks.back().at = (m_chunks.size() - 1) * k_chunk + m_chunks.back().size();
    m_chunks.back() += m_bytes;
    m_bytes.clear();
    m_in_block = 0;
}

void NodePlaces::close() {
    if (m_in_block > 0) end_block();
    m_on_disk.resize(m_chunks.size(), UINT64_MAX);
}

std::string_view NodePlaces::bytes_of(std::size_t block, std::string& into) const {
    const std::uint64_t begin = m_blocks[block].at;
    const std::size_t chunk = begin / k_chunk, at = begin % k_chunk;
    const bool followed = block + 1 < m_blocks.size() && m_blocks[block + 1].at / k_chunk == chunk;
    const std::size_t size = followed ? m_blocks[block + 1].at - begin : k_chunk - at;
    if (m_on_disk[chunk] == UINT64_MAX) return std::string_view(m_chunks[chunk]).substr(at, size);
    // The bytes after a chunk's last block are the next chunk's; the count of the block ends the reading.
    m_spill.read(m_on_disk[chunk] + at, size, into);
    return into;
}

const NodePlaces::Finder::Slot& NodePlaces::Finder::slot_of(std::size_t block) {
    Slot& slot = m_slots[block % k_slots];
    if (slot.block == block) return slot;
    CodeReader in(m_places->bytes_of(block, m_bytes));
    const bool last = block + 1 == m_places->m_blocks.size();
    std::int64_t id = m_places->m_blocks[block].first_id, x = 0, y = 0;
    slot.count = 0;
    while (slot.count < k_block) {
        if (slot.count > 0) id += static_cast<std::int64_t>(in.number());
        x += in.difference();
        y += in.difference();
        const auto version = static_cast<std::uint32_t>(in.number());
        slot.ids[slot.count] = id;
        slot.places[slot.count] = {
            {static_cast<std::int32_t>(x), static_cast<std::int32_t>(y)}, version, true};
        ++slot.count;
        if (last && id == m_places->m_last_id) break;
    }
    slot.block = block;
    return slot;
}

NodePlaces::Place NodePlaces::Finder::find(std::int64_t id) {
    const auto& blocks = m_places->m_blocks;
    const auto holds = [&](std::size_t block) {
        return block < blocks.size() && blocks[block].first_id <= id &&
               (block + 1 == blocks.size() || id < blocks[block + 1].first_id);
    };
    if (!holds(m_last)) {
        const auto after = std::upper_bound(blocks.begin(), blocks.end(), id,
                                            [](std::int64_t i, const Block& b) { return i < b.first_id; });
        if (after == blocks.begin()) return {};
        m_last = static_cast<std::size_t>(after - blocks.begin()) - 1;
    }
    const Slot& slot = slot_of(m_last);
    const auto end = slot.ids.begin() + static_cast<std::ptrdiff_t>(slot.count);
    const auto at = std::lower_bound(slot.ids.begin(), end, id);
    return at != end && *at == id ? slot.places[static_cast<std::size_t>(at - slot.ids.begin())] : Place{};
}

} // namespace waywarden::map
