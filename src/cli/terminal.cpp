#include "cli/terminal.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <memory>
#include <mutex>
#include <string_view>

namespace waywarden::cli {

namespace {

class ProgressLine {
  public:
    ProgressLine() = default;
    ProgressLine(const ProgressLine&) = delete;
    ProgressLine& operator=(const ProgressLine&) = delete;
    ~ProgressLine() {
        if (m_shown) fmt::print(stderr, "\r\x1b[K");
    }

    void show(const std::string& what, double share_done) {
        using namespace std::chrono_literals;
        const std::lock_guard lock(m_mutex);
        const auto now = std::chrono::steady_clock::now();
        if (now - m_start < 1s || now - m_last < 100ms) return;
        m_last = now;
        m_shown = true;
        fmt::print(stderr, "\r\x1b[K{}: {:.0f} %", what, share_done * 100);
        std::fflush(stderr);
    }

  private:
    std::mutex m_mutex;
    std::chrono::steady_clock::time_point m_start = std::chrono::steady_clock::now();
    std::chrono::steady_clock::time_point m_last;
    bool m_shown = false;
};

} // namespace

bool colour_wanted() {
    const char* no_colour = std::getenv("NO_COLOR");
    const char* terminal = std::getenv("TERM");
    const bool refused = no_colour && *no_colour;
    const bool able = terminal && std::string_view(terminal) != "dumb";
    return ::isatty(STDOUT_FILENO) != 0 && able && !refused;
}

std::function<void(const std::string&, double)> progress_line() {
    if (::isatty(STDERR_FILENO) == 0) return {};
    const auto line = std::make_shared<ProgressLine>();
    return [line](const std::string& what, double share_done) { line->show(what, share_done); };
}

} // namespace waywarden::cli
