#pragma once

#include "region/region.hpp"
#include "support/sketch.hpp"
#include "survey/survey.hpp"

#include <fmt/format.h>

#include <cmath>
#include <string>

namespace waywarden::test {

/// 2026-11-25T00:00:00Z.
constexpr std::int64_t k_today_s = 1795564800;

inline survey::Survey surveyed(const Sketch& sketch, std::string_view walk,
                               const std::string& region = "england") {
    return survey::survey(sketch.route_of(walk), sketch.ground(), sketch.trace(walk), region::load(region),
                          k_today_s);
}

/// Every crossing as `road way/1 level 100` (metres along, rounded), joined by "; ".
inline std::string crossings(const survey::Survey& survey) {
    std::string out;
    for (const auto& c : survey.crossings)
        out += fmt::format("{}{} {} {} {}", out.empty() ? "" : "; ", to_string(c.of), map::to_string(c.osm),
                           to_string(c.means), std::lround(c.at_m));
    return out;
}

inline std::string crossings(const Sketch& sketch, std::string_view walk) {
    return crossings(surveyed(sketch, walk));
}

/// The place numbers of the crossings in order: "1 1 2".
inline std::string places(const survey::Survey& survey) {
    std::string out;
    for (const auto& c : survey.crossings)
        out += fmt::format("{}{}", out.empty() ? "" : " ", c.place);
    return out;
}

/// Every spot of a kind as `from-to`, rounded, joined by "; ".
inline std::string spots(const survey::Survey& survey, std::string_view kind) {
    std::string out;
    for (const auto& s : survey.spots)
        if (s.facts.text("kind") == kind)
            out +=
                fmt::format("{}{}-{}", out.empty() ? "" : "; ", std::lround(s.from_m), std::lround(s.to_m));
    return out;
}

inline const survey::Spot& spot(const survey::Survey& survey, std::string_view kind) {
    for (const auto& s : survey.spots)
        if (s.facts.text("kind") == kind) return s;
    throw std::runtime_error("no spot " + std::string(kind));
}

} // namespace waywarden::test
