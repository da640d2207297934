#include "report/places.hpp"

#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace waywarden::report {

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

} // namespace waywarden::report
