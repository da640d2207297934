#include "report/json_legs.hpp"

#include "report/leg_words.hpp"

#include <fmt/format.h>

namespace waywarden::report {

namespace {

Json or_null(const std::optional<double>& value, double scale) {
    return value ? number(*value, scale) : Json(nullptr);
}

/// A bearing to 0.1 degrees, 0 up to 360.
Json bearing(const std::optional<double>& degrees) {
    if (!degrees) return nullptr;
    const Json out = number(*degrees, 10);
    return out == 360 ? Json(0.0) : out;
}

Json clock(const std::optional<geo::LocalSeconds>& at) {
    if (!at) return nullptr;
    const std::chrono::year_month_day day(
        std::chrono::floor<std::chrono::days>(std::chrono::round<std::chrono::minutes>(*at)));
    return fmt::format("{:04}-{:02}-{:02}T{}", static_cast<int>(day.year()),
                       static_cast<unsigned>(day.month()), static_cast<unsigned>(day.day()), clock_words(at));
}

Json underfoot(const survey::Leg& leg) {
    Json out = Json::object();
    for (const auto& [access, length_m] : leg.by_access)
        out[map::to_string(access)] = metres(length_m);
    return out;
}

Json escapes(const survey::Leg& leg) {
    Json out = Json::array();
    for (const survey::EscapeWay& one : leg.escapes)
        out.push_back(
            {{"name", one.name}, {"access", map::to_string(one.access)}, {"at_m", metres(one.at_m)}});
    return out;
}

Json leg(const survey::Leg& one, const Assessed& route) {
    return {{"number", one.number},
            {"from", one.from.name},
            {"to", one.to.name},
            {"from_grid_ref", reference_of(one.from, route)},
            {"to_grid_ref", reference_of(one.to, route)},
            {"from_position", position(one.from.position)},
            {"to_position", position(one.to.position)},
            {"from_aside_m", metres(one.from.aside_m)},
            {"to_aside_m", metres(one.to.aside_m)},
            {"from_m", metres(one.from.at_m)},
            {"to_m", metres(one.to.at_m)},
            {"length_m", metres(one.length_m)},
            {"straight_m", metres(one.straight_m)},
            {"ascent_m", or_null(one.ascent_m, 10)},
            {"descent_m", or_null(one.descent_m, 10)},
            {"bearing_grid_deg", bearing(bearing_of(one))},
            {"bearing_magnetic_deg", bearing(magnetic_bearing_of(one))},
            {"leaving_grid_deg", bearing(one.leaving_grid_deg)},
            {"leaving_magnetic_deg", bearing(survey::bearing_magnetic_deg(one, one.leaving_grid_deg))},
            {"walking_min", or_null(one.walking_min, 10)},
            {"rest_min", or_null(one.rest_min, 10)},
            {"leaves", clock(one.leaves)},
            {"arrives", clock(one.arrives)},
            {"by_access", underfoot(one)},
            {"escapes", escapes(one)},
            {"facts", facts(one.facts)}};
}

} // namespace

Json legs(const Assessed& route) {
    Json out = Json::array();
    for (const survey::Leg& one : route.survey.legs.legs)
        out.push_back(leg(one, route));
    return out;
}

Json daylight(const survey::Survey& survey) {
    if (!survey.daylight) return nullptr;
    const survey::Daylight& light = *survey.daylight;
    return {{"dawn", clock(light.dawn)},
            {"sunrise", clock(light.rise)},
            {"sunset", clock(light.set)},
            {"dusk", clock(light.dusk)},
            {"starts", clock(light.starts)},
            {"ends", clock(light.ends)},
            {"ends_at_the_earliest", light.ends_at_the_earliest},
            {"words", light.words}};
}

Json legs_by(const survey::LegTable& table) {
    return {{"checkpoints", table.checkpoints_from},
            {"heights", table.heights_from},
            {"time", table.time_by},
            {"magnetic", table.magnetic_by},
            {"remarks", table.remarks}};
}

} // namespace waywarden::report
