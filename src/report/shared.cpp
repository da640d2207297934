#include "report/shared.hpp"

#include "geo/grid_reference.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>
#include <tuple>

namespace waywarden::report {

namespace {

/// So that a summary made from results says the same as one made at once.
geo::Position as_written(geo::Position p) {
    const auto rounded = [](double deg) { return std::round(deg * 1e7) / 1e7; };
    return {rounded(p.lon_deg), rounded(p.lat_deg)};
}

} // namespace

std::vector<Shared> shared_findings(const Assessment& assessment) {
    std::vector<Shared> out;
    std::map<std::pair<std::string, std::string>, std::size_t> known; // rule and object
    for (const Assessed& route : assessment.routes)
        for (const rules::Finding& finding : route.findings) {
            if (finding.level == rules::Level::note || finding.evidence.empty()) continue;
            const std::string osm = map::to_string(finding.evidence.front().osm);
            const auto [at, fresh] = known.emplace(std::pair(finding.rule, osm), out.size());
            if (fresh) out.push_back({&finding, as_written(finding.position), route.grid, osm, {}});
            auto& routes = out[at->second].routes;
            if (routes.empty() || routes.back() != &route) routes.push_back(&route);
        }
    std::erase_if(out, [](const Shared& one) { return one.routes.size() < 2; });
    std::stable_sort(out.begin(), out.end(), [](const Shared& a, const Shared& b) {
        return std::tuple(a.routes.size(), a.finding->level) > std::tuple(b.routes.size(), b.finding->level);
    });
    return out;
}

std::string shared_words(const Shared& shared) {
    constexpr std::size_t k_most_names = 6;
    std::string names;
    for (std::size_t i = 0; i < std::min(shared.routes.size(), k_most_names); ++i)
        names += fmt::format("{}{} ({})", i ? ", " : "", shared.routes[i]->route.name,
                             std::filesystem::path(shared.routes[i]->route.path).filename().string());
    if (shared.routes.size() > k_most_names)
        names += fmt::format(" and {} more", shared.routes.size() - k_most_names);
    return fmt::format("{} routes: {}, {} ({}): {}", shared.routes.size(), shared.finding->title,
                       geo::grid_reference(shared.position, shared.grid), shared.osm, names);
}

} // namespace waywarden::report
