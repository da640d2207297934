#include "route/route.hpp"

namespace waywarden::route {

std::vector<std::vector<double>> metres_along(const Route& route) {
    std::vector<std::vector<double>> all;
    double at_m = 0;
    for (const Segment& segment : route.segments) {
        auto& along = all.emplace_back();
        for (std::size_t i = 0; i < segment.points.size(); ++i) {
            if (i > 0) at_m += geo::distance_m(segment.points[i - 1].position, segment.points[i].position);
            along.push_back(at_m);
        }
    }
    return all;
}

const char* to_string(OddityKind kind) {
    switch (kind) {
    case OddityKind::gap:
        return "gap";
    case OddityKind::null_island:
        return "null_island";
    case OddityKind::swapped:
        return "swapped";
    case OddityKind::jump:
        return "jump";
    case OddityKind::straight:
        return "straight";
    case OddityKind::single_point:
        return "single_point";
    case OddityKind::several_kinds:
        return "several_kinds";
    case OddityKind::guessed:
        return "guessed";
    case OddityKind::no_way_there:
        return "no_way_there";
    case OddityKind::other_ways:
        return "other_ways";
    }
    return "unknown";
}

const char* to_string(Format format) {
    switch (format) {
    case Format::gpx:
        return "gpx";
    case Format::geojson:
        return "geojson";
    case Format::kml:
        return "kml";
    case Format::card:
        return "card";
    }
    return "unknown";
}

} // namespace waywarden::route
