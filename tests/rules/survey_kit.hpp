#pragma once

#include "rules/rule_set.hpp"

#include <nlohmann/json.hpp>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <system_error>

/// Made-up surveys for the tests of rules: facts given as JSON, null for unknown.
namespace rules_kit {

using namespace waywarden;

inline void set_facts(survey::Facts& facts, const std::string& json) {
    const nlohmann::json object = nlohmann::json::parse(json);
    for (const auto& [name, value] : object.items()) {
        if (value.is_null())
            facts.set_unknown(name);
        else if (value.is_boolean())
            facts.set(name, value.get<bool>());
        else if (value.is_number())
            facts.set(name, value.get<double>());
        else
            facts.set(name, value.get<std::string>());
    }
}

inline survey::Facts facts(const std::string& json) {
    survey::Facts out;
    set_facts(out, json);
    return out;
}

inline const char* const k_footpath =
    R"({"access": "footpath", "name": "Gull Path", "lifecycle": "in_use", "right": "recorded", "right_conflict": false,
        "tidal": false, "bridge": false, "tunnel": false, "ford": false, "steps": false, "via_ferrata": false,
        "ladder": false, "covered_by_map": true, "confidence": 1, "open_country_is_open": false})";

/// A quiet map and a quiet walk: the age of the data is known and small, nobody said when the walk starts,
/// help and all that a crowd wants are near.
inline survey::Survey quiet_survey() {
    survey::Survey out;
    set_facts(out.route_facts, R"({"map_age_days": 30, "map_date": "2026-05-01", "length_m": 0,
        "start_given": false, "longest_without_way_off_m": 400, "longest_without_way_off_from_m": 0,
        "road_without_pavement_m": 0, "longest_road_without_pavement_m": 0, "road_without_pavement_share": 0,
        "longest_without_toilets_m": 900, "longest_without_toilets_from_m": 0, "longest_without_water_m": 900,
        "longest_without_water_from_m": 0, "parking_at_start": true, "toilets_at_start": true, "stiles": 0})");
    return out;
}

inline survey::StretchReading reading(const std::string& changes, double probability, std::int64_t way) {
    survey::StretchReading out;
    out.probability = probability;
    out.osm = map::ObjectId{map::ObjectType::way, way};
    out.evidence.osm = *out.osm;
    set_facts(out.facts, k_footpath);
    set_facts(out.facts, changes);
    return out;
}

/// Adds a stretch after the last one: a footpath with a recorded right, with these facts changed.
inline survey::StretchSurvey& add_stretch(survey::Survey& survey, double length_m,
                                          const std::string& changes = "{}") {
    survey::StretchSurvey out;
    out.from_m = survey.length_m;
    out.to_m = survey.length_m += length_m;
    out.reading = reading(changes, 1, 100 + static_cast<std::int64_t>(survey.stretches.size()));
    out.reading.facts.set("length_m", length_m);
    out.line = {{{-1.5, 56.25}, out.from_m}, {{-1.4, 56.25}, out.to_m}};
    survey.stretches.push_back(out);
    return survey.stretches.back();
}

inline survey::Crossing& add_crossing(survey::Survey& survey, double at_m, int place,
                                      const std::string& json) {
    survey::Crossing out;
    out.at_m = at_m;
    out.place = place;
    out.osm = {map::ObjectType::way, 500 + static_cast<std::int64_t>(survey.crossings.size())};
    out.evidence.push_back({out.osm, {}, 0});
    set_facts(out.facts, json);
    survey.crossings.push_back(out);
    return survey.crossings.back();
}

inline survey::Spot& add_spot(survey::Survey& survey, double from_m, double to_m, const std::string& json) {
    survey::Spot out;
    out.from_m = from_m;
    out.to_m = to_m;
    set_facts(out.facts, json);
    survey.spots.push_back(out);
    return survey.spots.back();
}

/// A region without opinions.
inline region::Region quiet_region() {
    region::Region out;
    out.name = "general";
    return out;
}

/// A file that is gone at the end of the test, in a folder of this process: others may run the same tests.
struct TemporaryFile {
    std::string path;
    TemporaryFile(const std::string& name, const std::string& text)
        : path((folder() / ("waywarden-rules-test-" + name)).string()) {
        std::filesystem::create_directories(folder());
        std::ofstream(path) << text;
    }
    ~TemporaryFile() {
        std::filesystem::remove(path);
        std::error_code still_in_use;
        std::filesystem::remove(folder(), still_in_use);
    }
    static std::filesystem::path folder() {
        return std::filesystem::temp_directory_path() / ("waywarden-rules-" + std::to_string(::getpid()));
    }
    TemporaryFile(const TemporaryFile&) = delete;
    TemporaryFile& operator=(const TemporaryFile&) = delete;
};

inline std::vector<rules::Finding> judged(const survey::Survey& survey,
                                          const std::string& party = "youth-expedition",
                                          const std::vector<std::string>& sets = {}) {
    return rules::Judge(party, sets, quiet_region()).judge(survey);
}

/// "rule:level" of each finding, in order.
inline std::vector<std::string> said(const std::vector<rules::Finding>& findings) {
    std::vector<std::string> out;
    for (const auto& one : findings)
        out.push_back(one.rule + ":" + to_string(one.level));
    return out;
}

} // namespace rules_kit
