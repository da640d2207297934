#include "report/merge.hpp"

#include "error.hpp"
#include "report/json_parts.hpp"
#include "report/telling.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace waywarden::report {

namespace {

std::string set_names(const Assessment& assessment) {
    std::string out;
    for (const rules::SetName& set : assessment.rule_sets)
        out += fmt::format("{}{} {}", out.empty() ? "" : ", ", set.name, set.version);
    return out;
}

void refuse_unlike(const Result& first, const Result& other) {
    const Assessment &a = first.assessment, &b = other.assessment;
    const std::tuple<const char*, std::string, std::string> facts[] = {
        {"version", first.tool_version, other.tool_version},
        {"party", a.party, b.party},
        {"date", iso_time(a.date_s), iso_time(b.date_s)},
        {"rule sets", set_names(a), set_names(b)}};
    for (const auto& [what, here, there] : facts)
        if (here != there)
            throw ArgumentError(fmt::format("{}: does not belong with {}: {} {}, there {}; check all the "
                                            "routes in the same way (--party, "
                                            "--rules, --start)",
                                            other.path, first.path, what, there, here));
}

void refuse_twice(const std::vector<Result>& results) {
    std::map<std::string, std::string> seen;
    for (const Result& result : results)
        for (const Assessed& route : result.assessment.routes) {
            if (route.route.path == "-") continue; // standard input of several runs
            const auto [at, fresh] = seen.emplace(route.route.path, result.path);
            if (!fresh)
                throw ArgumentError(fmt::format("{}: holds the route {}, which {} holds too; give it once",
                                                result.path, route.route.path, at->second));
        }
}

/// The one region if there is only one, as write_json() has it.
std::string region_of(const std::vector<Assessed>& routes, const std::string& otherwise) {
    if (routes.empty()) return otherwise;
    const bool one = std::all_of(routes.begin(), routes.end(),
                                 [&](const Assessed& r) { return r.region == routes.front().region; });
    return one ? routes.front().region : "auto";
}

template <typename T> void append(std::vector<T>& to, const std::vector<T>& more) {
    to.insert(to.end(), more.begin(), more.end());
}

bool same_source(const map::Source& a, const map::Source& b) {
    const auto box = [](const map::Source& s) {
        return s.bounds ? std::vector<double>{s.bounds->west_deg, s.bounds->south_deg, s.bounds->east_deg,
                                              s.bounds->north_deg}
                        : std::vector<double>{};
    };
    return a.path == b.path && a.data_until == b.data_until && a.attribution == b.attribution &&
           box(a) == box(b);
}

} // namespace

Merged merge(const std::vector<Result>& results) {
    for (const Result& one : results)
        refuse_unlike(results.front(), one);
    refuse_twice(results);
    Json whole = Json::parse(results.front().text);
    Assessment all = results.front().assessment;
    for (std::size_t i = 1; i < results.size(); ++i) {
        const Json more = Json::parse(results[i].text);
        const Assessment& other = results[i].assessment;
        for (const char* list : {"routes", "not_read"})
            for (const Json& one : more[list])
                whole[list].push_back(one);
        append(all.routes, other.routes);
        append(all.not_read, other.not_read);
        for (std::size_t m = 0; m < other.sources.size(); ++m) {
            const auto known = [&](const map::Source& s) { return same_source(s, other.sources[m]); };
            if (std::any_of(all.sources.begin(), all.sources.end(), known)) continue;
            all.sources.push_back(other.sources[m]);
            whole["map"].push_back(more["map"][m]);
        }
    }
    whole["attribution"] = attribution(all.sources);
    whole["shared"] = shared_json(all);
    all.region = region_of(all.routes, all.region);
    whole["region"] = all.region;
    return {json_text(whole), std::move(all)};
}

} // namespace waywarden::report
