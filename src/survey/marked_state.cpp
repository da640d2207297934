#include "survey/marked_state.hpp"

#include <charconv>
#include <chrono>

namespace waywarden::survey {

namespace {

using std::chrono::local_days;

std::optional<unsigned> digits(std::string_view text) {
    unsigned out = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), out);
    return error == std::errc() && end == text.data() + text.size() ? std::optional(out) : std::nullopt;
}

struct Days {
    local_days first, last;
};

/// The days that a date means: "2027", "2027-05", "2027-05-15". Nothing for any other way to write one.
std::optional<Days> days_of(std::string_view date) {
    using namespace std::chrono;
    const bool whole = date.size() == 4 || (date.size() == 7 && date[4] == '-') ||
                       (date.size() == 10 && date[4] == '-' && date[7] == '-');
    if (!whole) return std::nullopt;
    const auto y = digits(date.substr(0, 4));
    const auto m = date.size() >= 7 ? digits(date.substr(5, 2)) : std::optional(1u);
    const auto d = date.size() >= 10 ? digits(date.substr(8, 2)) : std::optional(1u);
    if (!y || !m || !d) return std::nullopt;
    const year_month_day first{year(static_cast<int>(*y)), month(*m), day(*d)};
    if (!first.ok()) return std::nullopt;
    if (date.size() == 10) return Days{local_days(first), local_days(first)};
    const auto next = date.size() == 7 ? first + months(1) : first + years(1);
    return Days{local_days(first), local_days(next) - days(1)};
}

std::string_view state_by_dates(const map::Tags& tags, const map::At& when) {
    for (const char* key : {"opening_date", "start_date"})
        if (const auto opens = days_of(tags.get(key)); opens && when.to < opens->first) return "planned";
    const auto ends = days_of(tags.get("end_date"));
    return ends && when.from >= ends->last + std::chrono::days(1) ? "closed" : "";
}

} // namespace

std::string_view marked_state(const map::Tags& tags, const std::optional<map::At>& when) {
    for (const char* state : {"abandoned", "demolished", "razed", "removed", "disused", "construction",
                              "closed", "proposed", "planned"})
        if (tags.is(state, "yes")) return state;
    if (tags.is("destroyed", "yes") || tags.is("collapsed", "yes")) return "demolished";
    for (const char* key : {"operational_status", "status"})
        if (tags.is(key, "closed")) return "closed";
    for (const char* key : {"temporary:access", "temporary:foot", "access:temporary", "passable"})
        if (tags.is(key, "no")) return "closed";
    if (tags.is("impassable", "yes")) return "closed";
    return when ? state_by_dates(tags, *when) : "";
}

} // namespace waywarden::survey
