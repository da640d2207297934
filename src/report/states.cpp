#include "report/states.hpp"

#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace waywarden::report {

std::string states_words(const Assessed& route) {
    const auto count = [&](auto is) {
        return static_cast<std::size_t>(std::count_if(route.findings.begin(), route.findings.end(), is));
    };
    const std::size_t fresh = count([](const auto& f) { return f.state == rules::State::fresh; });
    const std::size_t same = count([](const auto& f) { return f.state == rules::State::unchanged; });
    const std::size_t accepted = count([](const auto& f) { return f.accepted.has_value(); });
    const std::size_t lapsed = count([](const auto& f) { return !f.acceptance_lapsed.empty(); });
    std::string out;
    if (fresh + same + route.absent.size() > 0)
        out = fmt::format("Since the result compared with: {} new, {} unchanged, {} no longer found.", fresh,
                          same, route.absent.size());
    if (accepted > 0)
        out += fmt::format("{}{} accepted and not counted.", out.empty() ? "" : " ",
                           counted(accepted, "finding is", "findings are"));
    if (lapsed > 0)
        out += fmt::format("{}{} accepted before and counted again; each says why.", out.empty() ? "" : " ",
                           counted(lapsed, "finding was", "findings were"));
    return out;
}

} // namespace waywarden::report
