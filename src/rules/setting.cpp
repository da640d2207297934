#include "rules/setting.hpp"

#include "error.hpp"
#include "survey/walking_time.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>

namespace waywarden::rules {

namespace {

namespace fs = std::filesystem;
using survey::FactType;
using survey::FactValue;
using Values = std::map<std::string, FactValue, std::less<>>;

constexpr int k_most_built_on = 8; ///< parties that build on one another; a circle ends here

const SettingSpec* find(std::span<const SettingSpec> table, std::string_view name) {
    const auto at =
        std::find_if(table.begin(), table.end(), [&](const auto& spec) { return spec.name == name; });
    return at == table.end() ? nullptr : &*at;
}

std::vector<std::string_view> names_of(std::span<const SettingSpec> table) {
    std::vector<std::string_view> out;
    for (const SettingSpec& spec : table)
        out.push_back(spec.name);
    return out;
}

/// What no walking time can be reckoned with.
void refuse_impossible(const Value& who) {
    const auto given = [&](const char* name) { return who.has(name) && !who[name].at->is_null(); };
    if (given("time_method"))
        who["time_method"].one_of({"party", "naismith", "naismith_langmuir", "tobler", "din_33466"});
    if (given("pace_kmh") && !(who["pace_kmh"].number() > 0 && who["pace_kmh"].number() <= 20))
        who["pace_kmh"].refuse("must be more than 0 and at most 20 km/h");
    if (given("load_factor") && !(who["load_factor"].number() > 0 && who["load_factor"].number() <= 5))
        who["load_factor"].refuse("must be more than 0 and at most 5; 1 where the pace allows for loads");
    for (const char* name : {"climb_min_per_100m", "rest_min_per_h"})
        if (given(name) && !(who[name].number() >= 0 && who[name].number() <= 120))
            who[name].refuse("must be 0 to 120 minutes");
    for (const char* name : {"number", "group_size"})
        if (given(name) && !(who[name].number() >= 1 && who[name].number() <= 100'000 &&
                             who[name].number() == std::floor(who[name].number())))
            who[name].refuse("must be a whole number from 1 to 100000");
}

/// A set as a party names it: a file lies beside the party's own, wherever the program is run.
std::string set_named(const Value& set, const std::string& party_path) {
    const std::string name = set.text();
    if (name.find('/') == std::string::npos && !name.ends_with(".json")) return name;
    try {
        return find_file(name, "sets", "rule set", party_path);
    } catch (const ArgumentError& e) {
        set.refuse(e.what());
    }
}

Party read_party(const std::string& path, int depth) {
    const Document document(read_text(path), path);
    const Value file = whole(document);
    file.allow_only(
        {"$schema", "format", "version", "name", "title", "builds_on", "rule_sets", "who", "grounds"});
    if (file["format"].text() != "waywarden-party")
        file["format"].refuse("must be \"waywarden-party\": this file is no party");
    if (file["version"].number() != 1) file["version"].refuse("must be 1, the version this program reads");
    if (depth > k_most_built_on)
        file["builds_on"].refuse("parties build on each other in a circle; take one out");
    Party party;
    if (file.has("builds_on")) {
        const std::string base = file["builds_on"].text();
        party = read_party(find_file(base, "parties", "party", path), depth + 1);
    }
    party.name = file["name"].text();
    party.title = file["title"].text();
    refuse_impossible(file["who"]);
    for (auto& [name, value] : read_settings(file["who"], party_table()))
        party.values.insert_or_assign(name, value);
    if (file.has("rule_sets"))
        for (const Value& set : file["rule_sets"].items())
            party.rule_sets.push_back(set_named(set, path));
    return party;
}

} // namespace

std::span<const SettingSpec> party_table() {
    static const std::vector<SettingSpec> table{
        {"climb_min_per_100m", FactType::number, "min", "minutes added for 100 m of climb"},
        {"dogs", FactType::flag, "", "dogs come along"},
        {"group_size", FactType::number, "", "walkers who cross a road together"},
        {"horses", FactType::flag, "", "horses come along"},
        {"load_factor", FactType::number, "", "walking times by any method are multiplied by this"},
        {"longest_day_h", FactType::number, "h", "longest day, rests included"},
        {"night_allowed", FactType::flag, "", "may walk after dusk"},
        {"number", FactType::number, "", "walkers in all"},
        {"pace_kmh", FactType::number, "km/h", "pace on the flat"},
        {"rest_min_per_h", FactType::number, "min", "minutes of rest in an hour of walking"},
        {"sac_limit", FactType::number, "T", "hardest grade of the SAC scale that may be walked: 0 to 6"},
        {"step_free", FactType::flag, "", "wheelchairs or pushchairs come: no steps, stiles or ladders"},
        {"supervised", FactType::flag, "", "a leader walks with the party"},
        {"time_method", FactType::text, "",
         "how walking times are reckoned: party, naismith, naismith_langmuir, tobler, din_33466"},
        {"young", FactType::flag, "", "the walkers are under 18"},
    };
    return table;
}

std::span<const SettingSpec> region_table() {
    static const std::vector<SettingSpec> table{
        {"drives_on_left", FactType::flag, "", "traffic keeps left"},
        {"name", FactType::text, "", "the region's name: england"},
        {"open_country_is_open", FactType::flag, "", "there is a general right of access over open ground"},
        {"speed_in_mph", FactType::flag, "", "speed limits are written in miles per hour"},
    };
    return table;
}

const char* to_string(Source source) {
    switch (source) {
    case Source::fact:
        return "fact";
    case Source::party:
        return "party";
    case Source::region:
        return "region";
    }
    throw InternalError("a source of values without a name");
}

std::optional<FactValue> Setting::get(Source source, std::string_view name) const {
    const auto& values = source == Source::party ? party : region;
    const auto at = values.find(name);
    return at == values.end() ? std::nullopt : std::optional(at->second);
}

Values region_values(const region::Region& region) {
    return {{"drives_on_left", region.drives_on_left},
            {"name", region.name},
            {"open_country_is_open", region.open_country_is_open},
            {"speed_in_mph", region.speed_in_mph}};
}

FactValue read_fact_value(const Value& value, FactType type, const std::vector<std::string_view>& choices) {
    switch (type) {
    case FactType::flag:
        return value.truth();
    case FactType::number:
        return value.number();
    case FactType::text:
        return value.text();
    case FactType::choice:
        break;
    }
    value.one_of(choices);
    return value.text();
}

Values read_settings(const Value& object, std::span<const SettingSpec> table) {
    Values out;
    object.allow_only(names_of(table));
    for (const auto& [name, value] : object.members())
        if (!value.at->is_null()) out.emplace(name, read_fact_value(value, find(table, name)->type, {}));
    return out;
}

std::vector<std::string> shipped(const std::string& folder) {
    std::error_code failed;
    std::vector<std::string> out;
    fs::directory_iterator entries(fs::path(region::data_folder()) / folder, failed);
    for (; !failed && entries != fs::directory_iterator(); entries.increment(failed)) {
        const fs::path& path = entries->path();
        if (path.extension() == ".json" && path.stem().extension() != ".schema")
            out.push_back(path.stem().string());
    }
    std::sort(out.begin(), out.end());
    return out;
}

std::string find_file(const std::string& name_or_file, const std::string& folder, const std::string& what,
                      const std::string& beside) {
    std::error_code failed;
    if (name_or_file.find('/') != std::string::npos || name_or_file.ends_with(".json")) {
        const fs::path path =
            beside.empty() ? fs::path(name_or_file) : fs::path(beside).parent_path() / name_or_file;
        if (fs::is_regular_file(path, failed)) return path.string();
        throw ArgumentError(
            fmt::format("{}: there is no such file of a {}; check the name", path.string(), what));
    }
    const fs::path path = fs::path(region::data_folder()) / folder / (name_or_file + ".json");
    if (fs::is_regular_file(path, failed)) return path.string();
    const std::vector<std::string> names = shipped(folder);
    if (names.empty())
        throw ArgumentError(
            fmt::format("{}: no {} is installed there; set WAYWARDEN_DATA to the folder that holds {}/",
                        path.parent_path().string(), what, folder));
    const std::vector<std::string_view> views(names.begin(), names.end());
    throw ArgumentError(
        fmt::format("there is no {} \"{}\"{}; a file of your own is given with .json at its end", what,
                    name_or_file, hint(name_or_file, views)));
}

Party load_party(const std::string& name_or_file) {
    return read_party(find_file(name_or_file, "parties", "party"), 0);
}

std::optional<survey::Effort> effort_of(const Party& party) {
    const auto number = [&](const char* name) -> std::optional<double> {
        const auto at = party.values.find(name);
        return at == party.values.end() ? std::nullopt : std::optional(std::get<double>(at->second));
    };
    survey::Effort out;
    const auto method = party.values.find("time_method");
    if (method != party.values.end())
        out.method = survey::time_method(std::get<std::string>(method->second)).value();
    const auto pace = number("pace_kmh"), climb = number("climb_min_per_100m"),
               rest = number("rest_min_per_h");
    if (!rest || (out.method == survey::TimeMethod::party && (!pace || !climb))) return std::nullopt;
    out.pace_kmh = pace.value_or(out.pace_kmh);
    out.climb_min_per_100m = climb.value_or(out.climb_min_per_100m);
    out.rest_min_per_h = *rest;
    out.load_factor = number("load_factor").value_or(1);
    return out;
}

} // namespace waywarden::rules
