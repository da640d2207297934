#include "map/file_looks.hpp"

#include "error.hpp"

#include <fmt/format.h>
#include <osmium/io/any_input.hpp>
#include <osmium/io/reader.hpp>
#include <osmium/thread/pool.hpp>

#include <algorithm>
#include <filesystem>
#include <future>

namespace waywarden::map {

namespace {

/// `what` may hold bytes of the file, which libosmium quotes: a message is one line all the same.
[[noreturn]] void refuse(const std::string& path, std::string what, const std::string& advice) {
    std::replace_if(
        what.begin(), what.end(), [](char c) { return c == '\n' || c == '\r'; }, ' ');
    throw DataError(fmt::format("{}: {}; {}", path, what, advice));
}

constexpr const char* k_fetch_again = "the file is damaged or cut short: fetch or make the extract again";

/// Runs something that reads the file and turns what can go wrong into words.
template <class F> void in_words(const std::string& path, F&& read) {
    try {
        read();
    } catch (const DataError&) {
        throw;
    } catch (const NotSorted&) {
        throw;
    } catch (const osmium::unsupported_file_format_error& e) {
        refuse(path, e.what(), "give an extract as .osm.pbf, .osm, .osm.gz, .osm.bz2 or .opl");
    } catch (const osmium::io_error& e) {
        refuse(path, e.what(), k_fetch_again);
    } catch (const std::system_error& e) {
        // Threads or memory are lacking: nothing is wrong with the file.
        if (e.code() == std::errc::resource_unavailable_try_again) throw;
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
    if (!std::filesystem::is_regular_file(status))
        refuse(path, "is no regular file but a pipe or a device",
               "save the map to a file: it is read several times");
    if (std::filesystem::file_size(path) == 0) refuse(path, "is empty", "fetch or make the extract again");
    in_words(path, [&] {
        m_file = osmium::io::File(path);
        if (m_file.format() == osmium::io::file_format::pbf) m_sorted = SortedPbf::open(path);
    });
    open();
    if (!m_sorted) return;
    if (m_header.has_multiple_object_versions()) {
        forget_order();
        return;
    }
    in_words(path, [&] {
        m_sorted->find_ranges();
        m_named_source = m_sorted->named_source();
    });
}

MapFile::MapFile(osmium::io::File file, std::string name) : m_file(std::move(file)), m_path(std::move(name)) {
    open();
}

void MapFile::open() {
    in_words(m_path, [&] {
        osmium::io::Reader reader(m_file, osmium::osm_entity_bits::nothing);
        m_header = reader.header();
        reader.close();
    });
}

void MapFile::look(const Wish& wish, const Take& take) {
    in_words(m_path, [&] {
        if (m_sorted) {
            look_at_blobs(wish, take);
            return;
        }
        osmium::thread::Pool pool(wish.threads);
        osmium::io::Reader reader(m_file, osmium::osm_entity_bits::from_item_type(wish.type), pool,
                                  wish.metadata ? osmium::io::read_meta::yes : osmium::io::read_meta::no);
        const auto size = static_cast<double>(std::max<std::size_t>(1, reader.file_size()));
        while (const osmium::memory::Buffer buffer = reader.read()) {
            take(0, buffer);
            if (wish.progress) wish.progress(static_cast<double>(reader.offset()) / size);
        }
        reader.close();
    });
}

std::vector<SortedPbf::BlobIndex> MapFile::blobs_for(const Wish& wish) const {
    const auto [begin, end] = m_sorted->blobs_with(wish.type);
    std::vector<SortedPbf::BlobIndex> blobs;
    const bool can_choose = wish.only && wish.type == osmium::item_type::node && m_can_choose;
    for (SortedPbf::BlobIndex blob = begin; blob < end; ++blob) {
        if (can_choose) {
            const auto from = std::lower_bound(wish.only->begin(), wish.only->end(), m_first_node[blob]);
            const std::int64_t next = blob + 1 < end ? m_first_node[blob + 1] : INT64_MAX;
            if (from == wish.only->end() || *from >= next) continue;
        }
        blobs.push_back(blob);
    }
    return blobs;
}

void MapFile::look_at_blobs(const Wish& wish, const Take& take) {
    const auto blobs = blobs_for(wish);
    const bool learn = wish.type == osmium::item_type::node && m_first_node.empty();
    if (learn) m_first_node.assign(m_sorted->blobs_with(wish.type).second, INT64_MAX);
    const auto parts = static_cast<std::size_t>(std::max(1, wish.threads));
    const auto take_part = [&](std::size_t part) {
        const std::size_t begin = blobs.size() * part / parts, end = blobs.size() * (part + 1) / parts;
        for (std::size_t i = begin; i < end; ++i) {
            m_sorted->decode(blobs[i], wish.type,
                             wish.metadata ? osmium::io::read_meta::yes : osmium::io::read_meta::no,
                             [&](const osmium::memory::Buffer& buffer) {
                                 if (learn) learn_node_ids(blobs[i], buffer);
                                 take(part, buffer);
                             });
            if (part == 0 && wish.progress)
                wish.progress(static_cast<double>(i + 1) / static_cast<double>(end));
        }
    };
    std::vector<std::future<void>> others;
    for (std::size_t part = 1; part < parts; ++part)
        others.push_back(std::async(std::launch::async, take_part, part));
    std::exception_ptr failed;
    try {
        take_part(0);
    } catch (...) {
        failed = std::current_exception();
    }
    for (auto& other : others)
        try {
            other.get();
        } catch (...) {
            if (!failed) failed = std::current_exception();
        }
    if (failed) std::rethrow_exception(failed);
    // Blobs are chosen by id only where ids ascend over all of them.
    if (learn) m_can_choose = !m_unordered && std::is_sorted(m_first_node.begin(), m_first_node.end());
}

void MapFile::learn_node_ids(SortedPbf::BlobIndex blob, const osmium::memory::Buffer& buffer) {
    std::int64_t last = INT64_MIN;
    for (const osmium::Node& node : buffer.select<osmium::Node>()) {
        if (m_first_node[blob] == INT64_MAX) m_first_node[blob] = node.id();
        if (node.id() <= last || node.id() < m_first_node[blob]) m_unordered = true;
        last = node.id();
    }
}

} // namespace waywarden::map
