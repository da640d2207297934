#include "report/result_values.hpp"

#include <charconv>
#include <cmath>

namespace waywarden::report {

using rules::Value;

double read_metres(const Value& value) {
    const double out = value.number();
    if (out < 0) value.refuse("must not be less than 0");
    return out;
}

int read_count(const Value& value) {
    constexpr double k_most = 1e9;
    const double out = value.number();
    if (out < 0 || out > k_most || out != std::floor(out))
        value.refuse("must be a whole number from 0 to 1e9");
    return static_cast<int>(out);
}

geo::Position read_position(const Value& value) {
    const auto items = value.items();
    if (items.size() != 2) value.refuse("must be [longitude, latitude]");
    const geo::Position out{items[0].number(), items[1].number()};
    if (out.lon_deg < -180 || out.lon_deg > 180 || out.lat_deg < -90 || out.lat_deg > 90)
        value.refuse("is off the globe");
    return out;
}

map::ObjectId read_object(const Value& value) {
    static constexpr std::pair<std::string_view, map::ObjectType> k_types[] = {
        {"node/", map::ObjectType::node},
        {"way/", map::ObjectType::way},
        {"relation/", map::ObjectType::relation}};
    const std::string text = value.text();
    for (const auto& [start, type] : k_types) {
        if (!text.starts_with(start)) continue;
        map::ObjectId out{type, 0};
        const char* end = text.data() + text.size();
        const auto [stop, error] = std::from_chars(text.data() + start.size(), end, out.id);
        if (error == std::errc() && stop == end) return out;
    }
    value.refuse("must be node/N, way/N or relation/N");
}

} // namespace waywarden::report
