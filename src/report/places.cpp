#include "report/places.hpp"

#include "report/json_parts.hpp"
#include "report/words.hpp"
#include "survey/on_the_way.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <utility>

namespace waywarden::report {

namespace {

constexpr std::size_t k_most_of_a_kind = 3, k_most = 12;

std::map<std::string_view, std::size_t> counts_by_kind(const std::vector<const survey::PlaceOnTheWay*>& all) {
    std::map<std::string_view, std::size_t> out;
    for (const survey::PlaceOnTheWay* one : all)
        ++out[one->kind];
    return out;
}

std::vector<const survey::PlaceOnTheWay*> all_of(const survey::Survey& survey) {
    std::vector<const survey::PlaceOnTheWay*> out;
    for (const survey::PlaceOnTheWay& place : survey.places)
        out.push_back(&place);
    return out;
}

} // namespace

std::string place_words(std::string_view kind) {
    static constexpr std::array<std::pair<std::string_view, std::string_view>, 7> k_other{{
        {"emergency_point", "emergency access point"},
        {"pub", "pub or bar"},
        {"cafe", "café or restaurant"},
        {"worship", "place of worship"},
        {"heritage", "historic site"},
        {"nature", "nature reserve"},
        {"hospital", "hospital or doctors"},
    }};
    for (const auto& [name, words] : k_other)
        if (name == kind) return std::string(words);
    std::string out(kind);
    std::replace(out.begin(), out.end(), '_', ' ');
    return out;
}

const std::vector<std::string_view>& needed_kinds() {
    static const std::vector<std::string_view> kinds{"emergency_point", "defibrillator", "phone",
                                                     "hospital",        "shelter",       "toilets",
                                                     "drinking_water",  "car_park"};
    return kinds;
}

std::string place_line(const survey::PlaceOnTheWay& place) {
    std::string out = place_words(place.kind);
    if (!place.name.empty()) out += fmt::format(" “{}”", place.name);
    return out +
           (place.aside_m < 1 ? ", on the way" : fmt::format(", {} aside", distance_words(place.aside_m)));
}

std::vector<const survey::PlaceOnTheWay*> short_list(const survey::Survey& survey) {
    std::vector<const survey::PlaceOnTheWay*> out;
    for (const std::string_view kind : needed_kinds()) {
        std::size_t of_kind = 0;
        for (const survey::PlaceOnTheWay& place : survey.places)
            if (place.kind == kind && ++of_kind <= k_most_of_a_kind && out.size() < k_most)
                out.push_back(&place);
    }
    std::stable_sort(out.begin(), out.end(), [](const auto* a, const auto* b) { return a->at_m < b->at_m; });
    return out;
}

std::string more_places_words(const survey::Survey& survey) {
    auto told = counts_by_kind(short_list(survey)), there = counts_by_kind(all_of(survey));
    std::string more;
    for (const std::string_view kind : needed_kinds())
        if (there[kind] > told[kind])
            more += fmt::format("{}{} × {}", more.empty() ? "" : ", ", there[kind] - told[kind],
                                place_words(kind));
    return more.empty() ? "" : "And more: " + more + ".";
}

std::string no_places_words(const survey::Survey& survey) {
    auto there = counts_by_kind(all_of(survey));
    std::string none;
    for (const std::string_view kind : needed_kinds())
        if (there[kind] == 0) none += (none.empty() ? "" : ", ") + place_words(kind);
    return none.empty()
               ? ""
               : fmt::format("None recorded within {:.0f} m of the route: {}.", survey::k_on_the_way_m, none);
}

nlohmann::ordered_json places_json(const survey::Survey& survey) {
    Json out = Json::array();
    for (const survey::PlaceOnTheWay& one : survey.places)
        out.push_back({{"kind", one.kind},
                       {"name", one.name},
                       {"at_m", metres(one.at_m)},
                       {"aside_m", metres(one.aside_m)},
                       {"position", position(one.position)},
                       {"osm", osm(one.osm)}});
    return out;
}

} // namespace waywarden::report
