#include "map/prepared_file.hpp"

#include "error.hpp"
#include "map/prepared_code.hpp"
#include "map/prepared_layout.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>

namespace waywarden::map {

namespace {

/// Reads until `size` bytes are there or the file ends.
std::string read_at(int file, std::uint64_t offset, std::size_t size) {
    std::string out(size, '\0');
    std::size_t got = 0;
    while (got < size) {
        const ssize_t n = ::pread(file, out.data() + got, size - got, static_cast<off_t>(offset + got));
        if (n < 0 && errno == EINTR) continue;
        if (n < 0) throw Damaged(fmt::format("cannot be read: {}", std::strerror(errno)));
        if (n == 0) break;
        got += static_cast<std::size_t>(n);
    }
    out.resize(got);
    return out;
}

} // namespace

bool looks_prepared(const std::string& path) {
    struct stat status {};
    if (::stat(path.c_str(), &status) != 0 || !S_ISREG(status.st_mode)) return false;
    const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
    if (file < 0) return false;
    char begin[k_prepared_mark.size()];
    const ssize_t n = ::pread(file, begin, sizeof begin, 0);
    ::close(file);
    return n == static_cast<ssize_t>(sizeof begin) &&
           std::string_view(begin, sizeof begin) == k_prepared_mark;
}

PreparedFile::PreparedFile(std::string path) : m_path(std::move(path)) {
    m_file = ::open(m_path.c_str(), O_RDONLY | O_CLOEXEC);
    if (m_file < 0)
        throw DataError(fmt::format("{}: cannot be read: {}; check the path and the permissions", m_path,
                                    std::strerror(errno)));
    try {
        read_tail();
    } catch (const Damaged& e) {
        ::close(m_file);
        refuse(e.what());
    } catch (...) {
        ::close(m_file);
        throw;
    }
}

PreparedFile::~PreparedFile() {
    ::close(m_file);
}

void PreparedFile::refuse(std::string_view what) const {
    throw DataError(fmt::format("{}: this prepared map is damaged or cut short ({}); prepare it again from "
                                "the extract, with waywarden prepare",
                                m_path, what));
}

void PreparedFile::read_tail() {
    struct stat status {};
    if (::fstat(m_file, &status) != 0) throw Damaged("its size cannot be read");
    m_size = static_cast<std::uint64_t>(status.st_size);
    const std::string begin = read_at(m_file, 0, k_prepared_begin_size);
    if (begin.size() < k_prepared_begin_size || !begin.starts_with(k_prepared_mark))
        throw Damaged("it does not begin like one");
    CodeReader edition(std::string_view(begin).substr(k_prepared_mark.size()));
    const std::uint32_t written = edition.fixed32();
    if (edition.fixed32() != checksum(std::string_view(begin).substr(0, k_prepared_begin_size - 4)))
        throw Damaged("its first bytes do not fit their checksum");
    if (written != k_prepared_edition)
        throw DataError(fmt::format(
            "{}: was prepared by {} waywarden (edition {} of prepared maps; this one reads edition {}); "
            "prepare it again from the extract, with waywarden prepare",
            m_path, written > k_prepared_edition ? "a newer" : "an older", written, k_prepared_edition));
    if (m_size < k_prepared_begin_size + k_prepared_tail_size) throw Damaged("it ends too early");
    const std::string tail = read_at(m_file, m_size - k_prepared_tail_size, k_prepared_tail_size);
    if (!tail.ends_with(k_prepared_end_mark)) throw Damaged("its end is missing");
    CodeReader in(tail);
    const std::uint64_t low = in.fixed32(), high = in.fixed32();
    const std::uint32_t size = in.fixed32(), of_head = in.fixed32();
    if (in.fixed32() != checksum(std::string_view(tail).substr(0, 16)))
        throw Damaged("its end does not fit its checksum");
    const Part head{high << 32 | low, size, of_head};
    if (head.offset + head.size + k_prepared_tail_size != m_size)
        throw Damaged("its size is not what it says");
    read_head(head);
}

void PreparedFile::read_head(const Part& head) {
    const std::string text = bytes(head, "the head");
    CodeReader in(text);
    m_about = in.text();
    for (std::size_t i = in.count(); i > 0; --i) {
        const std::uint64_t number = in.number(), layer = number >> 8;
        const int level = number & 0xFF;
        if (layer < 1 || layer > 5 || level < finest_level(static_cast<Layer>(layer)))
            throw Damaged("its head names a level that there is not");
        m_levels.emplace_back(static_cast<Layer>(layer), level);
    }
    std::uint64_t offset = k_prepared_begin_size;
    for (std::size_t i = in.count(); i > 0; --i) {
        Page page{};
        page.first = in.number();
        page.last = page.first + in.number();
        offset += in.number(); // the blobs of the page stand before it
        page.part = {offset, static_cast<std::uint32_t>(in.number()), 0};
        page.part.checksum = in.fixed32();
        offset += page.part.size;
        m_pages.push_back(page);
    }
    if (!in.at_end()) throw Damaged("its head is longer than it should be");
}

std::string PreparedFile::bytes(const Part& part, std::string_view what) const {
    if (part.offset > m_size || part.size > m_size - part.offset)
        throw Damaged(fmt::format("{} lies past the end of the file", what));
    std::string out = read_at(m_file, part.offset, part.size);
    if (out.size() != part.size || checksum(out) != part.checksum)
        throw Damaged(fmt::format("{} at byte {} does not fit its checksum", what, part.offset));
    return out;
}

std::vector<PreparedFile::Entry> PreparedFile::entries_of(const Page& page) const {
    const std::string text = bytes(page.part, "a page of the index");
    CodeReader in(text);
    std::vector<Entry> entries;
    std::uint64_t total = 0;
    for (CellKey cell = page.first; !in.at_end();) {
        cell += in.number();
        const auto size = static_cast<std::uint32_t>(in.number());
        entries.push_back({cell, {total, size, in.fixed32()}});
        total += size;
    }
    if (total > page.part.offset) throw Damaged("a page of the index names more than there is");
    for (Entry& entry : entries)
        entry.part.offset += page.part.offset - total;
    return entries;
}

void PreparedFile::read(const std::vector<CellKey>& cells, const Take& take) const {
    try {
        auto cell = cells.begin();
        for (const Page& page : m_pages) {
            cell = std::lower_bound(cell, cells.end(), page.first);
            if (cell == cells.end()) break;
            if (*cell > page.last) continue;
            for (const Entry& entry : entries_of(page)) {
                cell = std::lower_bound(cell, cells.end(), entry.cell);
                if (cell == cells.end()) break;
                if (*cell == entry.cell) take(entry.cell, bytes(entry.part, "a part"));
            }
        }
    } catch (const Damaged& e) {
        refuse(e.what());
    }
}

std::vector<int> PreparedFile::levels_of(Layer layer) const {
    std::vector<int> levels;
    for (const auto& [of, level] : m_levels)
        if (of == layer) levels.push_back(level);
    return levels;
}

} // namespace waywarden::map
