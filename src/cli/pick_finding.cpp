#include "cli/pick_finding.hpp"

#include "error.hpp"
#include "report/fingerprint.hpp"
#include "report/ranking.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <vector>

namespace waywarden::cli {

namespace {

bool is_number(const std::string& word) {
    return !word.empty() && word.size() < 9 &&
           std::all_of(word.begin(), word.end(), [](char c) { return c >= '0' && c <= '9'; });
}

Picked by_number(const Assessed& route, const std::string& word, const std::string& path) {
    const auto all = report::ranked(route);
    const std::size_t number = std::stoul(word);
    if (number < 1 || number > all.size())
        throw ArgumentError(fmt::format("{}: has no finding {}; {} has {}", path, word, route.route.name,
                                        report::counted(all.size(), "finding", "findings")));
    return {&route, all[number - 1]};
}

/// By name, file, or name of the file without its ending.
bool is_called(const Assessed& route, const std::string& word) {
    return route.route.name == word || route.route.path == word ||
           std::filesystem::path(route.route.path).stem() == word;
}

const Assessed& route_called(const report::Result& result, const std::string& word) {
    const Assessed* found = nullptr;
    for (const Assessed& route : result.assessment.routes) {
        if (!is_called(route, word)) continue;
        if (found)
            throw ArgumentError(fmt::format("{}: has several routes {}; name the file", result.path, word));
        found = &route;
    }
    if (!found) throw ArgumentError(fmt::format("{}: has no route {}", result.path, word));
    return *found;
}

} // namespace

Picked pick_finding(const report::Result& result, const std::string& word) {
    const auto& routes = result.assessment.routes;
    const std::size_t colon = word.rfind(':');
    if (colon != std::string::npos && is_number(word.substr(colon + 1)))
        return by_number(route_called(result, word.substr(0, colon)), word.substr(colon + 1), result.path);
    if (is_number(word)) {
        if (routes.size() == 1) return by_number(routes.front(), word, result.path);
        throw ArgumentError(
            fmt::format("{}: {} holds {} routes; write ROUTE:{}", word, result.path, routes.size(), word));
    }
    std::vector<Picked> found;
    for (const Assessed& route : routes)
        for (const rules::Finding& one : route.findings)
            if (one.rule == word || report::fingerprint(one) == word) found.push_back({&route, &one});
    if (found.size() == 1) return found.front();
    throw ArgumentError(
        found.empty()
            ? fmt::format("{}: {} has no such finding; give its number in the report, its rule or its "
                          "fingerprint",
                          word, result.path)
            : fmt::format("{}: {} has {} such findings; give the number in the report", word, result.path,
                          found.size()));
}

} // namespace waywarden::cli
