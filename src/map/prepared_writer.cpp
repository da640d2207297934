#include "error.hpp"
#include "map/prepared_code.hpp"
#include "map/prepared_file.hpp"
#include "map/prepared_layout.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>

namespace waywarden::map {

namespace {

/// The draft to remove where the program ends at once (src/cli/last_resort.hpp): nothing is asked of memory
/// then.
std::array<char, 4096> draft_path{};

void remove_draft() {
    if (draft_path[0] != 0) ::unlink(draft_path.data());
}

void remove_at_quick_exit(const std::string& path) {
    static const bool registered = std::at_quick_exit(remove_draft) == 0;
    if (registered && path.size() < draft_path.size()) std::ranges::copy(path, draft_path.begin());
}

constexpr std::size_t k_write_at_once = 1 << 20;

/// So that the new name is on the disk too. Some file systems cannot do this to a folder: then it is left.
void sync_folder_of(const std::string& path) {
    const auto folder = std::filesystem::absolute(path).parent_path();
    const int file = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (file < 0) return;
    ::fsync(file);
    ::close(file);
}

} // namespace

PreparedWriter::PreparedWriter(std::string path) : m_path(std::move(path)) {
    if (std::filesystem::exists(m_path) && !looks_prepared(m_path))
        throw DataError(fmt::format("{}: stands there already and is no prepared map; name another file with "
                                    "-o, or remove it first",
                                    m_path));
    m_part_path = fmt::format("{}.unfinished-{}", m_path, ::getpid());
    m_file = ::open(m_part_path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
    if (m_file < 0) fail(errno, "check the path and the permissions");
    remove_at_quick_exit(m_part_path);
    m_waiting = k_prepared_mark;
    CodeWriter out(m_waiting);
    out.fixed32(k_prepared_edition);
    out.fixed32(checksum(m_waiting));
    m_offset = m_page_begin = m_waiting.size();
}

PreparedWriter::~PreparedWriter() {
    if (m_file < 0) return;
    ::close(m_file);
    ::unlink(m_part_path.c_str());
}

void PreparedWriter::fail(int error, const std::string& what) const {
    throw DataError(fmt::format("{}: cannot be written: {}; {}", m_path, std::strerror(error), what));
}

void PreparedWriter::write(std::string_view bytes) {
    m_offset += bytes.size();
    m_waiting.append(bytes);
    if (m_waiting.size() < k_write_at_once && !bytes.empty()) return;
    for (std::string_view left = m_waiting; !left.empty();) {
        const ssize_t n = ::write(m_file, left.data(), left.size());
        if (n < 0 && errno == EINTR) continue;
        if (n <= 0) fail(n < 0 ? errno : ENOSPC, "make room on the disk, or name another file with -o");
        left.remove_prefix(static_cast<std::size_t>(n));
    }
    m_waiting.clear();
}

void PreparedWriter::add(CellKey cell, std::string_view part) {
    if (m_in_page > 0 && cell <= m_last) throw InternalError("cells of a prepared map out of order");
    if (m_in_page == 0) m_first_in_page = m_last = cell;
    CodeWriter page(m_page);
    page.number(cell - m_last);
    page.number(part.size());
    page.fixed32(checksum(part));
    m_last = cell;
    const std::uint64_t level = cell >> 48;
    if (m_levels.empty() || m_levels.back() != level) m_levels.push_back(level);
    write(part);
    if (++m_in_page == k_prepared_page_entries) close_page();
}

void PreparedWriter::close_page() {
    if (m_in_page == 0) return;
    CodeWriter list(m_page_list);
    list.number(m_first_in_page);
    list.number(m_last - m_first_in_page);
    list.number(m_offset - m_page_begin);
    list.number(m_page.size());
    list.fixed32(checksum(m_page));
    write(m_page);
    m_page.clear();
    m_page_begin = m_offset;
    m_in_page = 0;
    ++m_pages;
}

void PreparedWriter::finish(std::string_view about) {
    close_page();
    std::string head;
    CodeWriter out(head);
    out.text(about);
    out.number(m_levels.size());
    for (const std::uint64_t level : m_levels)
        out.number(level);
    out.number(m_pages);
    head += m_page_list;
    std::string tail;
    CodeWriter end(tail);
    end.fixed32(static_cast<std::uint32_t>(m_offset));
    end.fixed32(static_cast<std::uint32_t>(m_offset >> 32));
    end.fixed32(static_cast<std::uint32_t>(head.size()));
    end.fixed32(checksum(head));
    end.fixed32(checksum(tail));
    tail += k_prepared_end_mark;
    write(head);
    write(tail);
    write({});
    const std::string advice = "the file that was there, if any, is untouched";
    if (::fsync(m_file) != 0) fail(errno, advice);
    const int file = m_file;
    if (std::rename(m_part_path.c_str(), m_path.c_str()) != 0) fail(errno, advice);
    m_file = -1;
    ::close(file);
    sync_folder_of(m_path);
}

} // namespace waywarden::map
