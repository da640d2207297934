#pragma once

#include "map/sorted_pbf.hpp"

#include <osmium/io/file.hpp>
#include <osmium/io/header.hpp>
#include <osmium/memory/buffer.hpp>

#include <atomic>
#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace waywarden::map {

/// One map file, looked through as often as needed.
class MapFile {
  public:
    /// Throws DataError, as does `look`, where the file cannot be read to its end.
    explicit MapFile(const std::string& path);
    MapFile(osmium::io::File file, std::string name);

    const osmium::io::Header& header() const { return m_header; }
    const std::string& path() const { return m_path; }
    /// What a pbf's header says the data come from; "" where it is silent, and for any other format.
    const std::string& named_source() const { return m_named_source; }
    bool sorted() const { return m_sorted != nullptr; } ///< looked at by blobs, on several threads

    struct Wish {
        osmium::item_type type;
        int threads = 1;
        bool metadata = true;
        /// Only objects with these ids are needed, ascending: others may be left out. Null: all.
        const std::vector<std::int64_t>* only = nullptr;
        std::function<void(double share_done)> progress; ///< called from one thread; may be empty
    };
    /// Calls `take(part, buffer)` with buffers of objects of one type. A sorted pbf is cut into as many parts
    /// as there are threads, each taken in order on a thread of its own; any other file is part 0. Parts in
    /// order are the order of the file.
    using Take = std::function<void(std::size_t part, const osmium::memory::Buffer&)>;
    void look(const Wish& wish, const Take& take);
    /// From now on the file is read through from end to end for every look, whatever its order.
    void forget_order() { m_sorted.reset(); }

  private:
    void open();
    void learn_node_ids(SortedPbf::BlobIndex blob, const osmium::memory::Buffer& buffer);
    void look_at_blobs(const Wish& wish, const Take& take);
    std::vector<SortedPbf::BlobIndex> blobs_for(const Wish& wish) const;
    osmium::io::File m_file;
    std::string m_path;
    osmium::io::Header m_header;
    std::string m_named_source;
    std::unique_ptr<SortedPbf> m_sorted;
    std::vector<std::int64_t> m_first_node; ///< id of the first node of each blob, once they were seen
    std::atomic<bool> m_unordered = false;  ///< node ids do not ascend in some blob
    bool m_can_choose = false;
};

} // namespace waywarden::map
