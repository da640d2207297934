#pragma once

#include <osmium/io/file.hpp>
#include <osmium/io/header.hpp>
#include <osmium/memory/buffer.hpp>
#include <osmium/osm/entity_bits.hpp>

#include <functional>
#include <string>

namespace waywarden::map {

/// One map file, looked through as often as needed.
class MapFile {
  public:
    explicit MapFile(const std::string& path);
    MapFile(osmium::io::File file, std::string name);

    const osmium::io::Header& header() const { return m_header; }
    const std::string& path() const { return m_path; }

    /// Calls `take` with every buffer of objects of these kinds, in the order of the file, on this thread;
    /// decoding runs on `threads` others. `progress` is called with the share of the file read. Throws
    /// DataError where the file cannot be read to its end.
    void look(osmium::osm_entity_bits::type kinds, int threads,
              const std::function<void(const osmium::memory::Buffer&)>& take,
              const std::function<void(double)>& progress = {}) const;

  private:
    void read_header();
    osmium::io::File m_file;
    std::string m_path;
    osmium::io::Header m_header;
};

} // namespace waywarden::map
