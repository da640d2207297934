#include "error.hpp"
#include "region/region.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <initializer_list>
#include <map>
#include <string_view>

namespace waywarden::region {

namespace {

using nlohmann::json;

constexpr double k_kmh_per_mph = 1.609344;

/// A value of the file with the place it stands, so that every message can say where.
struct Value {
    const json& at;
    std::string pointer;
    const std::string& path;

    [[noreturn]] void refuse(const std::string& what) const {
        throw DataError(fmt::format("{}: {}: {}; see region.schema.json beside it", path,
                                    pointer.empty() ? "the whole file" : pointer, what));
    }
    bool has(const char* key) const { return at.contains(key); }
    Value operator[](const char* key) const {
        if (!at.contains(key)) refuse(fmt::format("\"{}\" is missing", key));
        return {at.at(key), pointer + "/" + key, path};
    }
    std::string text() const {
        if (!at.is_string()) refuse("must be a text");
        return at.get<std::string>();
    }
    double number() const {
        if (!at.is_number()) refuse("must be a number");
        return at.get<double>();
    }
    bool truth() const {
        if (!at.is_boolean()) refuse("must be true or false");
        return at.get<bool>();
    }
    std::vector<Value> items() const {
        if (!at.is_array()) refuse("must be a list");
        std::vector<Value> out;
        for (std::size_t i = 0; i < at.size(); ++i)
            out.push_back({at[i], fmt::format("{}/{}", pointer, i), path});
        return out;
    }
    /// One text or more: an empty list would read as "any".
    std::vector<std::string> some_texts() const {
        const std::vector<std::string> out = texts();
        if (out.empty()) refuse("must not be empty");
        return out;
    }
    std::vector<std::string> texts() const {
        std::vector<std::string> out;
        for (const Value& item : items())
            out.push_back(item.text());
        return out;
    }
    /// Refuses keys that are not among those known: a misspelt key must not pass for an absent one.
    void only(std::initializer_list<std::string_view> keys) const {
        if (!at.is_object()) refuse("must be an object");
        for (const auto& [key, unused] : at.items())
            if (std::find(keys.begin(), keys.end(), key) == keys.end())
                throw DataError(fmt::format("{}: {}/{}: no such key here; known are {}", path, pointer, key,
                                            fmt::join(keys, ", ")));
    }
    template <class T> T one_of(const std::map<std::string, T>& words) const {
        const auto found = words.find(text());
        if (found != words.end()) return found->second;
        std::vector<std::string> known;
        for (const auto& [word, unused] : words)
            known.push_back(word);
        refuse(fmt::format("\"{}\" is none of {}", text(), fmt::join(known, ", ")));
    }
};

/// "30 mph", "50 km/h" or "none" (0).
double limit_kmh(const Value& value) {
    const std::string text = value.text();
    if (text == "none") return 0;
    const auto blank = text.find(' ');
    const std::string digits = text.substr(0, blank);
    const std::string unit = blank == std::string::npos ? "" : text.substr(blank + 1);
    const bool plain =
        !digits.empty() && digits.size() <= 3 && digits.find_first_not_of("0123456789") == std::string::npos;
    if (!plain || digits.front() == '0' || (unit != "mph" && unit != "km/h"))
        value.refuse(fmt::format("\"{}\" is no limit; write \"30 mph\", \"50 km/h\" or \"none\"", text));
    return std::stod(digits) * (unit == "mph" ? k_kmh_per_mph : 1);
}

using GroundsById = std::map<std::string, Grounds>;

GroundsById grounds_of(const Value& file) {
    GroundsById out;
    for (const Value& entry : file["grounds"].items()) {
        entry.only({"id", "title", "publisher", "date", "note", "common_practice"});
        const auto text = [&](const char* key) { return entry.has(key) ? entry[key].text() : std::string(); };
        const Grounds grounds{text("title"), text("publisher"), text("date"), text("note")};
        const bool common = entry.has("common_practice") && entry["common_practice"].truth();
        if (common ? grounds.note.empty()
                   : grounds.title.empty() || grounds.publisher.empty() || grounds.date.empty())
            entry.refuse("needs title, publisher and date, or common_practice with a note");
        if (!out.emplace(entry["id"].text(), grounds).second) entry["id"].refuse("stands there twice");
    }
    return out;
}

Grounds grounds_for(const Value& row, const GroundsById& known) {
    const Value id = row["grounds"];
    const auto found = known.find(id.text());
    if (found == known.end()) id.refuse(fmt::format("\"{}\" is no id under /grounds", id.text()));
    return found->second;
}

std::optional<bool> condition(const Value& row, const char* key) {
    return row.has(key) ? std::optional(row[key].truth()) : std::nullopt;
}

std::vector<std::string> classes(const Value& row) {
    return row.has("highway") ? row["highway"].some_texts() : std::vector<std::string>{};
}

void read_rows(const Value& file, const GroundsById& known, Region& region) {
    for (const Value& row : file["presumed_speed"].items()) {
        row.only({"highway", "dual", "built_up", "limit", "grounds"});
        region.presumed_speed.push_back({classes(row), condition(row, "dual"), condition(row, "built_up"),
                                         limit_kmh(row["limit"]), row["limit"].text(),
                                         grounds_for(row, known)});
    }
    for (const Value& row : file["speed_words"].items()) {
        row.only({"words", "dual", "limit", "grounds"});
        row["words"].some_texts();
        for (const Value& word : row["words"].items()) {
            const std::string text = word.text();
            if (std::any_of(text.begin(), text.end(), [](char c) { return c >= 'A' && c <= 'Z'; }))
                word.refuse("must be in lower case");
            region.speed_words.push_back({text, condition(row, "dual"), limit_kmh(row["limit"]),
                                          row["limit"].text(), grounds_for(row, known)});
        }
    }
    const std::map<std::string, int> rights{
        {"road", 0}, {"presumed", 0}, {"open_access", 0}, {"unknown", 0}, {"forbidden", 0}};
    for (const Value& row : file["presumed_foot"].items()) {
        row.only({"highway", "right", "grounds"});
        row["right"].one_of(rights);
        region.presumed_foot.push_back(
            {row["highway"].some_texts(), row["right"].text(), grounds_for(row, known)});
    }
}

std::vector<geo::Position> ring_of(const Value& ring) {
    std::vector<geo::Position> out;
    for (const Value& point : ring.items()) {
        const std::vector<Value> numbers = point.items();
        if (numbers.size() != 2) point.refuse("must be [longitude, latitude]");
        const geo::Position p{numbers[0].number(), numbers[1].number()};
        if (p.lon_deg < -180 || p.lon_deg > 180 || p.lat_deg < -90 || p.lat_deg > 90)
            point.refuse("is off the globe; longitude comes first");
        out.push_back(p);
    }
    if (out.size() < 4 || !(out.front() == out.back()))
        ring.refuse("is no closed ring: four places or more, the last as the first");
    return out;
}

Region read_file(const Value& file) {
    file.only({"$schema", "format", "version", "name", "title", "grid", "time_zone", "drives_on",
               "speed_unit", "open_country", "strictness", "border_km", "speed_prefixes", "presumed_speed",
               "speed_words", "presumed_foot", "boundary", "grounds"});
    if (file["format"].text() != "waywarden-region") file["format"].refuse("must be \"waywarden-region\"");
    if (file["version"].number() != 1) file["version"].refuse("must be 1, the one version there is");
    Region region;
    region.name = file["name"].text();
    region.title = file["title"].text();
    region.grid = file["grid"].one_of<geo::GridSystem>({{"british", geo::GridSystem::british},
                                                        {"irish", geo::GridSystem::irish},
                                                        {"utm", geo::GridSystem::utm}});
    region.time_zone = file["time_zone"].text();
    region.drives_on_left = file["drives_on"].one_of<bool>({{"left", true}, {"right", false}});
    region.speed_in_mph = file["speed_unit"].one_of<bool>({{"mph", true}, {"km/h", false}});
    region.open_country_is_open =
        file["open_country"].one_of<bool>({{"open to all", true}, {"by recorded right", false}});
    region.strictness = file["strictness"].number();
    region.border_km = file["border_km"].number();
    if (region.border_km < 0) file["border_km"].refuse("must not be negative");
    region.speed_prefixes = file["speed_prefixes"].texts();
    const GroundsById known = grounds_of(file);
    read_rows(file, known, region);
    for (const Value& ring : file["boundary"].items())
        region.boundary.push_back(ring_of(ring));
    for (const auto& [unused, grounds] : known)
        region.grounds.push_back(grounds);
    return region;
}

} // namespace

Region parse(const std::string& text, const std::string& path) {
    json whole;
    try {
        whole = json::parse(text);
    } catch (const json::parse_error& e) {
        const auto end = text.begin() + static_cast<std::ptrdiff_t>(std::min(e.byte, text.size()));
        throw DataError(fmt::format("{}: line {}: this is not JSON: {}; mend it or take the shipped file",
                                    path, 1 + std::count(text.begin(), end, '\n'), e.what()));
    } catch (const json::out_of_range&) {
        throw DataError(
            fmt::format("{}: holds a number that is too large; mend it or take the shipped file", path));
    }
    return read_file({whole, "", path});
}

} // namespace waywarden::region
