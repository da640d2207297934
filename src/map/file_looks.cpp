#include "map/file_looks.hpp"

#include "error.hpp"

#include <fmt/format.h>
#include <osmium/io/any_input.hpp>
#include <osmium/io/reader.hpp>
#include <osmium/thread/pool.hpp>

#include <filesystem>

namespace waywarden::map {

namespace {

[[noreturn]] void refuse(const std::string& path, const std::string& what, const std::string& advice) {
    throw DataError(fmt::format("{}: {}; {}", path, what, advice));
}

constexpr const char* k_fetch_again = "the file is damaged or cut short: fetch or make the extract again";

/// Runs something that reads the file and turns what can go wrong into words.
template <class F> void in_words(const std::string& path, F&& read) {
    try {
        read();
    } catch (const DataError&) {
        throw;
    } catch (const osmium::unsupported_file_format_error& e) {
        refuse(path, e.what(), "give an extract as .osm.pbf, .osm, .osm.gz, .osm.bz2 or .opl");
    } catch (const osmium::io_error& e) {
        refuse(path, e.what(), k_fetch_again);
    } catch (const std::system_error& e) {
        refuse(path, "cannot be read: " + e.code().message(), "check the path and the permissions");
    } catch (const std::bad_alloc&) {
        throw;
    } catch (const std::exception& e) {
        refuse(path, std::string("cannot be read as a map: ") + e.what(), k_fetch_again);
    }
}

} // namespace

MapFile::MapFile(const std::string& path) : m_path(path) {
    std::error_code error;
    const auto status = std::filesystem::status(path, error);
    if (error || !std::filesystem::exists(status))
        refuse(path, "no such file", "check the path given with --map");
    if (std::filesystem::is_directory(status))
        refuse(path, "is a folder, not a map", "name one extract file");
    if (std::filesystem::is_regular_file(status) && std::filesystem::file_size(path) == 0)
        refuse(path, "is empty", "fetch or make the extract again");
    in_words(path, [&] { m_file = osmium::io::File(path); });
    read_header();
}

MapFile::MapFile(osmium::io::File file, std::string name) : m_file(std::move(file)), m_path(std::move(name)) {
    read_header();
}

void MapFile::read_header() {
    in_words(m_path, [&] {
        osmium::io::Reader reader(m_file, osmium::osm_entity_bits::nothing);
        m_header = reader.header();
        reader.close();
    });
}

void MapFile::look(osmium::osm_entity_bits::type kinds, int threads,
                   const std::function<void(const osmium::memory::Buffer&)>& take,
                   const std::function<void(double)>& progress) const {
    in_words(m_path, [&] {
        osmium::thread::Pool pool(threads);
        osmium::io::Reader reader(m_file, kinds, pool);
        const auto size = static_cast<double>(std::max<std::size_t>(1, reader.file_size()));
        while (const osmium::memory::Buffer buffer = reader.read()) {
            take(buffer);
            if (progress) progress(static_cast<double>(reader.offset()) / size);
        }
        reader.close();
    });
}

} // namespace waywarden::map
