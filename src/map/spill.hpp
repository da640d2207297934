#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace waywarden::map {

/// A nameless file for what does not fit into memory: the system removes it however the process ends. It
/// stands in the folder of the result, where room is needed anyway.
class SpillFile {
  public:
    explicit SpillFile(std::string folder) : m_folder(std::move(folder)) {}
    ~SpillFile();
    SpillFile(SpillFile&& other) noexcept;
    SpillFile& operator=(SpillFile&&) = delete;

    /// Where in the file it begins. Throws DataError where the disk is full.
    std::uint64_t append(std::string_view bytes);
    /// Fewer bytes only at the end of the file.
    void read(std::uint64_t offset, std::size_t size, std::string& out) const;
    std::uint64_t size() const { return m_size; }

  private:
    void open();
    std::string m_folder;
    int m_file = -1;
    std::uint64_t m_size = 0;
};

} // namespace waywarden::map
