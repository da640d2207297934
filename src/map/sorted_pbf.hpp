#pragma once

#include <osmium/io/reader.hpp>
#include <osmium/memory/buffer.hpp>
#include <osmium/osm/entity_bits.hpp>

#include <cstdint>
#include <exception>
#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace waywarden::map {

/// Thrown where a pbf turns out not to hold all nodes, then all ways, then all relations.
struct NotSorted : std::exception {};

/// A .osm.pbf with all nodes before all ways before all relations, as nearly every extract is, whatever its
/// header says. Its blobs can be decoded one by one, in any order and on any thread, and those of one type
/// lie together. libosmium's public reader always inflates the whole file; here relations, nodes and ways are
/// each inflated once, and a second look at nodes costs only the blobs asked for. That the order holds is
/// checked as blobs are decoded: each is, at least once.
class SortedPbf {
  public:
    /// Looks at the frame of each blob, before libosmium does: that takes a blob of no type for what it
    /// expects, and a frame of no length for the end. Throws std::system_error or osmium::pbf_error where one
    /// is wrong.
    static std::unique_ptr<SortedPbf> open(const std::string& path);
    /// Before `blobs_with` and `decode`. Not for files that hold several versions of objects.
    void find_ranges();
    ~SortedPbf();
    SortedPbf(const SortedPbf&) = delete;
    SortedPbf& operator=(const SortedPbf&) = delete;

    using BlobIndex = std::uint32_t;
    /// Blobs that may hold objects of a type, in the order of the file.
    std::pair<BlobIndex, BlobIndex> blobs_with(osmium::item_type type) const {
        return m_ranges.at(static_cast<std::size_t>(type) - 1);
    }
    /// HeaderBlock.source, which libosmium passes over; "" where the header does not say.
    std::string named_source() const;
    /// Calls `take` with the buffers of a blob, in order; they may hold objects of an earlier type at
    /// the beginning of a range, and of a later one at its end. Throws NotSorted where objects of another
    /// type turn up elsewhere: so no object of a file that is not sorted is passed over.
    void decode(BlobIndex blob, osmium::item_type type, osmium::io::read_meta meta,
                const std::function<void(const osmium::memory::Buffer&)>& take) const;

  private:
    struct Blob {
        std::uint64_t offset;
        std::uint32_t size;
    };
    explicit SortedPbf(int file) : m_file(file) {}
    void find_blobs();
    osmium::item_type first_type(BlobIndex blob) const;
    osmium::memory::Buffer decoded(BlobIndex blob, osmium::io::read_meta meta) const;
    std::string bytes(std::uint64_t offset, std::size_t size) const;

    int m_file;
    Blob m_header{0, 0};
    std::vector<Blob> m_blobs; ///< of data; the header's blob is not among them
    std::vector<std::pair<BlobIndex, BlobIndex>> m_ranges;
};

} // namespace waywarden::map
