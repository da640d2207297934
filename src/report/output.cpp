#include "report/output.hpp"

#include "error.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <set>
#include <sstream>
#include <string_view>
#include <utility>

namespace waywarden::report {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t k_longest_stem = 200; ///< bytes; file systems take 255 for the whole name

std::string lower(std::string text) {
    for (char& c : text)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return text;
}

std::string safe_stem(const std::string& path) {
    if (path == "-") return "stdin";
    std::string stem = fs::path(path).stem().string();
    for (char& c : stem)
        if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F || c == '/' || c == '\\' || c == ':') c = '_';
    stem.erase(0, stem.find_first_not_of('.'));
    std::size_t end = std::min(stem.size(), k_longest_stem);
    while (end < stem.size() && end > 0 && (static_cast<unsigned char>(stem[end]) & 0xC0U) == 0x80U)
        --end;
    stem.resize(end); // never in the middle of a character
    return stem.empty() ? "route" : stem;
}

[[noreturn]] void fail(const std::string& path, const char* what) {
    throw DataError(fmt::format("{}: {} ({}); nothing was left there that is not whole", path, what,
                                std::strerror(errno)));
}

/// A file under a temporary name that goes away unless it is given its own.
class Draft {
  public:
    explicit Draft(const std::string& path)
        : m_path(path), m_temporary((fs::path(path).parent_path() / ".waywarden-XXXXXX").string()) {
        m_file = ::mkstemp(m_temporary.data());
        if (m_file < 0) fail(path, "cannot be written in its folder");
    }
    Draft(const Draft&) = delete;
    Draft& operator=(const Draft&) = delete;
    ~Draft() {
        if (m_file >= 0) ::close(m_file);
        if (!m_done) ::unlink(m_temporary.c_str());
    }

    void fill(std::string_view bytes) {
        while (!bytes.empty()) {
            const ssize_t written = ::write(m_file, bytes.data(), bytes.size());
            if (written < 0 && errno == EINTR) continue;
            if (written <= 0) fail(m_path, "cannot be written");
            bytes.remove_prefix(static_cast<std::size_t>(written));
        }
    }

    void keep() {
        const mode_t mask = ::umask(0);
        ::umask(mask);
        if (::fchmod(m_file, 0666 & ~mask) != 0 || ::fsync(m_file) != 0) fail(m_path, "cannot be written");
        if (::close(std::exchange(m_file, -1)) != 0) fail(m_path, "cannot be written");
        if (::rename(m_temporary.c_str(), m_path.c_str()) != 0) fail(m_path, "cannot be put in place");
        m_done = true;
    }

  private:
    std::string m_path, m_temporary;
    int m_file = -1;
    bool m_done = false;
};

} // namespace

std::vector<std::string> stems(const std::vector<std::string>& route_paths,
                               const std::vector<std::string>& reserved) {
    std::set<std::string> taken;
    for (const std::string& name : reserved)
        taken.insert(lower(name));
    std::vector<std::string> out;
    for (const std::string& path : route_paths) {
        const std::string stem = safe_stem(path);
        std::string name = stem;
        for (int i = 2; !taken.insert(lower(name)).second; ++i)
            name = fmt::format("{}-{}", stem, i);
        out.push_back(name);
    }
    return out;
}

void write_whole(const std::string& path, const std::function<void(std::ostream&)>& write) {
    std::ostringstream text;
    write(text);
    if (!text) throw InternalError(fmt::format("{}: the report could not be composed", path));
    Draft draft(path);
    draft.fill(text.view());
    draft.keep();
}

} // namespace waywarden::report
