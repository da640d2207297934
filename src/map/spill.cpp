#include "map/spill.hpp"

#include "error.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <utility>

namespace waywarden::map {

namespace {

[[noreturn]] void fail(const std::string& folder, int error) {
    throw DataError(
        fmt::format("{}: no temporary file can be used there: {}; make room, or allow more memory "
                    "with --memory",
                    folder, std::strerror(error)));
}

} // namespace

SpillFile::SpillFile(SpillFile&& other) noexcept
    : m_folder(std::move(other.m_folder)), m_file(std::exchange(other.m_file, -1)), m_size(other.m_size) {}

SpillFile::~SpillFile() {
    if (m_file >= 0) ::close(m_file);
}

void SpillFile::open() {
    std::string name = m_folder + "/.waywarden-XXXXXX";
    m_file = ::mkostemp(name.data(), O_CLOEXEC);
    if (m_file < 0) fail(m_folder, errno);
    ::unlink(name.c_str());
}

std::uint64_t SpillFile::append(std::string_view bytes) {
    if (m_file < 0) open();
    const std::uint64_t begin = m_size;
    while (!bytes.empty()) {
        const ssize_t n = ::pwrite(m_file, bytes.data(), bytes.size(), static_cast<off_t>(m_size));
        if (n < 0 && errno == EINTR) continue;
        if (n <= 0) fail(m_folder, n < 0 ? errno : ENOSPC);
        m_size += static_cast<std::uint64_t>(n);
        bytes.remove_prefix(static_cast<std::size_t>(n));
    }
    return begin;
}

void SpillFile::read(std::uint64_t offset, std::size_t size, std::string& out) const {
    out.resize(std::min<std::uint64_t>(size, m_size > offset ? m_size - offset : 0));
    for (std::size_t got = 0; got < out.size();) {
        const ssize_t n =
            ::pread(m_file, out.data() + got, out.size() - got, static_cast<off_t>(offset + got));
        if (n < 0 && errno == EINTR) continue;
        if (n <= 0) fail(m_folder, n < 0 ? errno : EIO);
        got += static_cast<std::size_t>(n);
    }
}

} // namespace waywarden::map
