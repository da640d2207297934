#include "report/marshals_words.hpp"
#include "report/places.hpp"
#include "report/telling.hpp"
#include "report/words.hpp"
#include "survey/on_the_way.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

/// Steps and surfaces, ways in for help, and what people need on the way.
namespace waywarden::report {

namespace {

using survey::Facts;
using survey::StretchSurvey;

std::string surface_class(const StretchSurvey& stretch) {
    const Facts& facts = stretch.reading.facts;
    if (facts.flag("steps").value_or(false)) return "steps";
    const std::string surface = facts.text("surface");
    if (surface.empty()) return "surface not recorded";
    return survey::is_paved(surface) ? "paved" : "not paved";
}

/// Pieces of one class that follow one another.
void add_surfaces(const survey::Survey& survey, std::vector<Feature>& out) {
    std::vector<std::pair<Feature, std::set<std::string>>> runs;
    for (const StretchSurvey& one : survey.stretches) {
        const std::string what = surface_class(one);
        if (runs.empty() || runs.back().first.what != what || runs.back().first.to_m != one.from_m) {
            Feature run{what == "steps" ? "steps" : "surface", one.from_m, one.to_m, {}, what, ""};
            if (!one.line.empty()) run.position = one.line.front().position;
            if (one.reading.osm) run.osm = map::to_string(*one.reading.osm);
            runs.emplace_back(std::move(run), std::set<std::string>{});
        }
        runs.back().first.to_m = one.to_m;
        if (const std::string surface = one.reading.facts.text("surface"); !surface.empty())
            runs.back().second.insert(spaced(surface));
    }
    for (auto& [run, surfaces] : runs) {
        std::string words;
        for (const std::string& one : surfaces)
            words += (words.empty() ? ": " : ", ") + one;
        run.what += words;
        out.push_back(std::move(run));
    }
}

/// Barriers that stop or hinder wheels, by kind as the map writes it.
std::string against_wheels(const std::string& kind) {
    for (const char* stops : {"stile", "step_over", "log", "squeezer", "turnstile", "full-height_turnstile"})
        if (kind == stops) return "stops wheels";
    for (const char* may :
         {"kissing_gate", "cycle_barrier", "motorcycle_barrier", "horse_stile", "cattle_grid", "bollard",
          "block", "chain", "rope", "bar", "kerb", "hampshire_gate"})
        if (kind == may) return "may stop wheels: look";
    return "";
}

double metres_of(const std::vector<Feature>& all, std::string_view start) {
    double out = 0;
    for (const Feature& one : all)
        if (one.what.starts_with(start)) out += one.to_m - one.at_m;
    return out;
}

void add_wheels_words(const Assessment& assessment, MarshalSheet& out) {
    std::size_t flights = 0, stops = 0, may = 0;
    for (const Feature& one : out.wheels) {
        flights += one.kind == "steps" ? 1U : 0U;
        stops += one.what.ends_with(": stops wheels") ? 1U : 0U;
        may += one.what.ends_with(": may stop wheels: look") ? 1U : 0U;
    }
    const std::string found =
        fmt::format("{}, {}, {}", counted(flights, "flight of steps", "flights of steps"),
                    counted(stops, "barrier that stops wheels", "barriers that stop wheels"),
                    counted(may, "barrier that may stop them", "barriers that may stop them"));
    out.wheels_words.push_back(
        flights + stops > 0 ? "Not step-free: " + found + "."
        : may > 0           ? "Not shown to be step-free: " + found + "."
                            : "No steps and no such barrier are recorded. That does not make it step-free.");
    out.wheels_words.push_back(fmt::format("Paved {}, not paved {}, not recorded {}.",
                                           distance_words(metres_of(out.wheels, "paved")),
                                           distance_words(metres_of(out.wheels, "not paved")),
                                           distance_words(metres_of(out.wheels, "surface not recorded"))));
    out.wheels_words.push_back(
        "Kerbs, slopes, cambers, mud and most widths are not on the map: somebody on wheels, or "
        "pushing some, goes over the route beforehand.");
    if (assessment.step_free.value_or(false) && flights + stops > 0)
        out.wheels_words.push_back("The party is said to need a way without steps: this is none.");
}

std::string reach_words(const survey::VehicleReach& reach) {
    const std::string road = fmt::format("{} ({})", reach.name.empty() ? "a road without a name" : reach.name,
                                         access_words(reach.access));
    return reach.from_m == reach.to_m
               ? "reached from " + road
               : fmt::format("along {} for {}", road, distance_words(reach.to_m - reach.from_m));
}

/// The longest piece of the walk between two places a vehicle reaches.
std::string longest_carry(const survey::Survey& survey) {
    double end_m = 0, longest_m = 0, from_m = 0;
    const auto look = [&](double to_m) {
        if (to_m - end_m > longest_m) {
            longest_m = to_m - end_m;
            from_m = end_m;
        }
    };
    for (const survey::VehicleReach& reach : survey.vehicle_reach) {
        look(reach.from_m);
        end_m = std::max(end_m, reach.to_m);
    }
    look(survey.length_m);
    return fmt::format("The longest piece that no such vehicle reaches is {}, from km {} to {}.",
                       distance_words(longest_m), km_words(from_m), km_words(from_m + longest_m));
}

void add_farthest(const survey::Survey& survey, MarshalSheet& out) {
    for (const survey::Spot& spot : survey.spots) {
        if (spot.facts.text("kind") != "farthest_from_road") continue;
        const auto minutes = spot.facts.number("farthest_from_road_min");
        const std::string words =
            minutes ? fmt::format("farthest from such a road: at most {:.0f} min on foot, {}", *minutes,
                                  spot.facts.text("detail"))
                    : "farthest from such a road: how far is not known, none was read near the route";
        out.vehicles.push_back({"farthest_from_road", spot.from_m, spot.to_m, spot.position, words, ""});
    }
}

} // namespace

void add_wheels(const Assessed& route, const Assessment& assessment, MarshalSheet& out) {
    add_surfaces(route.survey, out.wheels);
    for (const survey::Spot& spot : route.survey.spots) {
        const std::string kind = spot.facts.text("barrier_kind"), words = against_wheels(kind);
        if (words.empty()) continue;
        out.wheels.push_back({"barrier", spot.from_m, spot.to_m, spot.position, spaced(kind) + ": " + words,
                              spot.evidence.empty() ? "" : map::to_string(spot.evidence.front().osm)});
    }
    std::stable_sort(out.wheels.begin(), out.wheels.end(),
                     [](const Feature& a, const Feature& b) { return a.at_m < b.at_m; });
    add_wheels_words(assessment, out);
}

void add_help(const Assessed& route, MarshalSheet& out) {
    const survey::Survey& survey = route.survey;
    for (const survey::VehicleReach& reach : survey.vehicle_reach)
        out.vehicles.push_back({"vehicle_access", reach.from_m, reach.to_m, reach.position,
                                reach_words(reach), map::to_string(reach.osm)});
    out.help_words.push_back(survey.vehicle_reach.empty()
                                 ? "No road that an ambulance can be expected to use meets the route."
                                 : longest_carry(survey));
    add_farthest(survey, out);
    out.help_words.push_back(
        "Locked gates, widths, heights and soft ground are not looked at: agree the ways in with "
        "those who give first aid, and give them the grid references.");
    static constexpr std::array<std::string_view, 9> k_kinds{"car_park", "toilets",       "drinking_water",
                                                             "shelter",  "defibrillator", "emergency_point",
                                                             "phone",    "hospital",      "bus_stop"};
    for (const std::string_view kind : k_kinds) {
        bool any = false;
        for (const survey::PlaceOnTheWay& place : survey.places) {
            if (place.kind != kind) continue;
            any = true;
            out.places.push_back({place.kind, place.at_m, place.at_m, place.position, place_line(place),
                                  map::to_string(place.osm)});
        }
        if (!any)
            out.places_words.push_back(fmt::format("{}: none recorded within {:.0f} m of the route.",
                                                   place_words(kind), survey::k_on_the_way_m));
    }
    std::stable_sort(out.places.begin(), out.places.end(),
                     [](const Feature& a, const Feature& b) { return a.at_m < b.at_m; });
}

} // namespace waywarden::report
