#include "run.hpp"

#include "assess.hpp"
#include "geo/zoned_time.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

namespace waywarden::twins {

namespace {

class Folder {
  public:
    Folder() : m_path(std::filesystem::temp_directory_path() / fmt::format("twins-{}", getpid())) {
        std::filesystem::create_directories(m_path);
    }
    ~Folder() { std::filesystem::remove_all(m_path); }
    std::string write(const char* name, const std::string& text) const {
        std::ofstream(m_path / name) << text;
        return (m_path / name).string();
    }

  private:
    std::filesystem::path m_path;
};

/// One of the two maps with all that is asked about it.
struct Case {
    TinyMap map;
    std::string gpx;
    Request request;
};

const std::string& first_of(const std::string& a, const std::string& b) {
    return a.empty() ? b : a;
}

Case case_of(const Twin& twin, bool hazard) {
    const Drawing drawing(twin.picture.drawing, twin.picture.metres_per_cell);
    Objects objects = twin.picture.always;
    const Objects& more = hazard ? twin.hazard : twin.harmless;
    objects.insert(objects.end(), more.begin(), more.end());
    const std::string& walk = first_of(twin.walk, twin.picture.walk);
    Case out;
    out.map = drawing.map(objects);
    out.gpx = gpx_of(drawing, hazard ? walk : first_of(twin.twin_walk, walk),
                     hazard ? twin.every_m : twin.twin_every_m, hazard ? twin.also_in_file : "");
    const auto& date = hazard ? twin.date : first_of(twin.twin_date, twin.date);
    const auto& start = hazard ? twin.start : first_of(twin.twin_start, twin.start);
    out.request.region = hazard ? twin.region : first_of(twin.twin_region, twin.region);
    out.request.party = hazard ? twin.party : first_of(twin.twin_party, twin.party);
    out.request.date_s = geo::read_time(date)->at.time_since_epoch().count();
    if (!start.empty()) out.request.start = geo::read_time(start);
    out.request.rule_sets = twin.sets;
    out.request.threads = 1;
    return out;
}

/// A party of no rule sets of its own, with what the row changes.
std::string party_file(const std::string& changes) {
    auto party = nlohmann::json::parse(R"({"format": "waywarden-party", "version": 1, "name": "plain",
        "title": "Seven people", "rule_sets": [], "who": {"number": 7, "group_size": 7, "young": true,
        "supervised": false, "pace_kmh": 3.5, "climb_min_per_100m": 10, "rest_min_per_h": 10,
        "longest_day_h": 8, "sac_limit": 2, "step_free": false, "horses": false, "dogs": false,
        "night_allowed": false, "time_method": "party", "load_factor": 1}})");
    party["who"].update(nlohmann::json::parse(changes));
    return party.dump();
}

Assessed assessed(const Case& c, const Folder& folder) {
    Request request = c.request;
    if (request.party.front() == '{') request.party = folder.write("plain.json", party_file(request.party));
    request.maps = {folder.write("map.opl", opl_of(c.map))};
    request.routes = {folder.write("walk.gpx", c.gpx)};
    return assess(request).routes.at(0);
}

std::string said(const Assessed& result) {
    std::vector<std::string> all;
    for (const rules::Finding& finding : result.findings)
        all.push_back(finding.rule + ":" + rules::to_string(finding.level));
    std::sort(all.begin(), all.end());
    return fmt::format("{}", fmt::join(all, ", "));
}

std::string in_full(const Assessed& result) {
    std::string out;
    for (const rules::Finding& finding : result.findings)
        out += fmt::format("\n  {} {:.0f}-{:.0f} m: {}", finding.rule, finding.from_m, finding.to_m,
                           finding.message);
    return out;
}

} // namespace

Outcome run(const Twin& twin, Which which, const Change& change) {
    static const Folder folder;
    Case one = case_of(twin, which == Which::hazard);
    if (change.of_map) one.map = change.of_map(std::move(one.map));
    if (change.of_gpx) one.gpx = change.of_gpx(one.gpx);
    const Assessed result = assessed(one, folder);
    return {said(result), in_full(result)};
}

std::vector<Twin> all_twins() {
    std::vector<Twin> out;
    for (auto* part :
         {road_twins, crossing_twins, water_twins, rail_twins, right_twins, time_twins, barrier_twins,
          ground_twins, path_twins, map_twins, line_twins, youth_twins, crowd_twins, club_twins, light_twins})
        for (Twin& twin : part())
            out.push_back(std::move(twin));
    return out;
}

} // namespace waywarden::twins
