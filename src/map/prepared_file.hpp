#pragma once

#include "map/prepared_cells.hpp"

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// The prepared map as a file: blobs by cell, pages of an index over them, a head, and a tail that leads to
/// the head. Every byte that is read is held against a checksum first. docs/prepared-map.md describes it.
namespace waywarden::map {

/// Goes up with every change to the format, and to which objects are kept (interest.cpp): a map prepared by
/// another edition is refused, for it may lack what this one asks for.
constexpr std::uint32_t k_prepared_edition = 3;

/// Whether the file at a path begins like a prepared map, whatever its name. False where it cannot be read.
bool looks_prepared(const std::string& path);

/// A prepared map open for reading. Any number of processes and threads may read it at once.
class PreparedFile {
  public:
    /// Throws DataError where the file is damaged, cut short, or of another edition.
    explicit PreparedFile(std::string path);
    ~PreparedFile();
    PreparedFile(const PreparedFile&) = delete;
    PreparedFile& operator=(const PreparedFile&) = delete;

    const std::string& path() const { return m_path; }
    const std::string& about() const { return m_about; } ///< what the writer gave with the head

    /// Calls `take(cell, part)` for each of the cells that the file holds, in order. What `take` finds
    /// Damaged is told as damage to the file.
    using Take = std::function<void(CellKey cell, std::string_view part)>;
    void read(const std::vector<CellKey>& cells, const Take& take) const;
    /// Levels at which a layer has cells, ascending.
    std::vector<int> levels_of(Layer layer) const;
    /// Tells as damage to the file what its reader found to be so. Throws DataError.
    [[noreturn]] void refuse(std::string_view what) const;

  private:
    struct Part {
        std::uint64_t offset;
        std::uint32_t size, checksum;
    };
    struct Page {
        CellKey first, last;
        Part part;
    };
    struct Entry {
        CellKey cell;
        Part part;
    };
    std::string bytes(const Part& part, std::string_view what) const;
    void read_tail();
    void read_head(const Part& head);
    std::vector<Entry> entries_of(const Page& page) const;

    std::string m_path;
    int m_file = -1;
    std::uint64_t m_size = 0;
    std::string m_about;
    std::vector<std::pair<Layer, int>> m_levels;
    std::vector<Page> m_pages;
};

/// Writes a prepared map beside its place, and puts it there only whole and on the disk.
class PreparedWriter {
  public:
    /// Throws DataError where it cannot be written, or where something that is no prepared map stands there.
    explicit PreparedWriter(std::string path);
    ~PreparedWriter(); ///< removes what was not finished
    PreparedWriter(const PreparedWriter&) = delete;
    PreparedWriter& operator=(const PreparedWriter&) = delete;

    /// Cells must come in ascending order, each once.
    void add(CellKey cell, std::string_view part);
    void finish(std::string_view about);
    std::uint64_t size() const { return m_offset; }

  private:
    void write(std::string_view bytes);
    void close_page();
    [[noreturn]] void fail(int error, const std::string& what) const;

    std::string m_path, m_part_path;
    int m_file = -1;
    std::uint64_t m_offset = 0;
    std::string m_waiting;   ///< bytes not yet written
    std::string m_page;      ///< entries of the page that is being filled
    std::string m_page_list; ///< of the pages closed
    std::size_t m_in_page = 0, m_pages = 0;
    CellKey m_first_in_page = 0, m_last = 0;
    std::uint64_t m_page_begin = 0;
    std::vector<std::uint64_t> m_levels; ///< layer and level of each that has cells
};

} // namespace waywarden::map
