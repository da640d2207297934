#include "assess.hpp"

#include "error.hpp"
#include "map/part_of.hpp"
#include "map/read.hpp"
#include "match/match.hpp"
#include "route/read.hpp"
#include "rules/setting.hpp"
#include "survey/height_model.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <optional>
#include <thread>

namespace waywarden {

namespace {

constexpr double k_reach_m = 400; ///< how far beside a route the map is read
constexpr double k_more_m = 500;  ///< more than the cells of two corridors' nets can differ by

/// Of several files those that cannot be read are told of; a file on its own, or all of them, end the run.
std::vector<route::Route> read_routes(const std::vector<std::string>& paths, std::vector<NotRead>& not_read) {
    std::vector<route::Route> out;
    std::exception_ptr first;
    for (const std::string& path : paths) {
        try {
            out.push_back(route::read_file(path));
        } catch (const DataError& e) {
            not_read.push_back({path, e.what()});
            if (!first) first = std::current_exception();
        }
    }
    if (out.empty() && first) std::rethrow_exception(first);
    return out;
}

std::vector<geo::Position> points_of(const route::Route& route) {
    std::vector<geo::Position> out;
    for (const route::Segment& segment : route.segments)
        for (const route::RoutePoint& point : segment.points)
            out.push_back(point.position);
    return out;
}

void add_lines(const route::Route& route, map::Corridor& out) {
    for (const route::Segment& segment : route.segments) {
        auto& line = out.lines.emplace_back();
        for (const route::RoutePoint& point : segment.points)
            line.push_back(point.position);
    }
}

/// Of several routes a little more is read, so that cutting out each one's own part leaves what reading for
/// it alone would give.
map::Corridor corridor_of(const std::vector<route::Route>& routes) {
    map::Corridor out;
    out.reach_m = k_reach_m;
    if (routes.size() > 1)
        for (double* reach_m : {&out.reach_m, &out.around_m, &out.shares_m})
            *reach_m += k_more_m;
    for (const route::Route& route : routes)
        add_lines(route, out);
    return out;
}

map::Ground own_part(const map::Ground& ground, const route::Route& route) {
    map::Corridor own;
    own.reach_m = k_reach_m;
    add_lines(route, own);
    return map::part_of(ground, own);
}

std::optional<double> number_of(const rules::Party& party, std::string_view name) {
    const auto at = party.values.find(name);
    const double* number = at == party.values.end() ? nullptr : std::get_if<double>(&at->second);
    return number ? std::optional(*number) : std::nullopt;
}

/// Those who cross a road together.
std::optional<int> walkers_of(const rules::Party& party) {
    for (const char* name : {"group_size", "number"})
        if (const auto count = number_of(party, name)) return static_cast<int>(*count);
    return std::nullopt;
}

void set_party_size(const rules::Party& party, Assessment& out) {
    if (const auto number = number_of(party, "number")) out.walkers = static_cast<int>(*number);
    out.group_size = walkers_of(party);
    const auto at = party.values.find("step_free");
    if (const bool* flag = at == party.values.end() ? nullptr : std::get_if<bool>(&at->second))
        out.step_free = *flag;
}

std::optional<int> people_of(const rules::Party& party) {
    const auto count = number_of(party, "number");
    return count ? std::optional(static_cast<int>(*count)) : std::nullopt;
}

/// When they walk. What the region `general` writes as its time zone stands for no place's clock.
std::optional<survey::Timetable> timetable_of(const Request& request, const rules::Party& party,
                                              const region::Region& region) {
    if (!request.start) return std::nullopt;
    survey::Timetable out{*request.start, std::nullopt, region.name == "general" ? "" : region.time_zone};
    if (const auto pace = number_of(party, "pace_kmh"))
        out.pace = survey::Pace{*pace, number_of(party, "rest_min_per_h").value_or(0)};
    return out;
}

Assessed assess_one(route::Route route, const map::Ground& ground, const Request& request,
                    const std::optional<survey::HeightModel>& heights) {
    const region::Choice choice = region::choose(request.region, points_of(route));
    const rules::Judge judge(request.party, request.rule_sets, choice.region);
    const rules::Party party = rules::load_party(request.party);
    const match::Trace trace = match::match(route, ground);
    Assessed out;
    survey::Given given{walkers_of(party), k_reach_m, timetable_of(request, party, choice.region),
                        people_of(party)};
    given.legs_every = request.legs_every;
    given.heights = heights ? survey::heights_of_model(route, *heights) : survey::heights_of_file(route);
    given.effort = rules::effort_of(party);
    out.survey = survey::survey(route, ground, trace, choice.region, request.date_s, given);
    out.findings = judge.judge(out.survey);
    out.verdict = rules::verdict_of(out.findings);
    out.grid = choice.region.grid;
    out.region = choice.region.name;
    out.region_note = choice.note;
    out.speed_in_mph = choice.region.speed_in_mph;
    if (request.map_picture) out.map_picture = survey::map_picture(route, ground, k_reach_m);
    out.route = std::move(route);
    return out;
}

/// Calls `work` with 0 to count - 1 from several threads. Of several failures the one of the lowest number is
/// thrown, so that it does not depend on the threads.
void for_each_index(std::size_t count, int threads, const std::function<void(std::size_t)>& work) {
    std::vector<std::exception_ptr> failures(count);
    std::atomic<std::size_t> next = 0;
    const auto run = [&] {
        for (std::size_t i = next++; i < count; i = next++) {
            try {
                work(i);
            } catch (...) {
                failures[i] = std::current_exception();
            }
        }
    };
    {
        std::vector<std::jthread> others;
        for (std::size_t i = 1; i < std::min(count, static_cast<std::size_t>(std::max(threads, 1))); ++i)
            others.emplace_back(run);
        run();
    }
    for (const std::exception_ptr& failure : failures)
        if (failure) std::rethrow_exception(failure);
}

map::Ground read_map(const Request& request, const std::vector<route::Route>& routes) {
    map::ReadOptions options;
    options.threads = request.threads;
    if (request.progress)
        options.progress = [&](double share) { request.progress("reading the map", share); };
    return map::read(request.maps, corridor_of(routes), options);
}

} // namespace

Assessment assess(const Request& request) {
    Assessment out;
    out.region = request.region;
    out.date_s = request.date_s;

    // A wrong name is told at once, not after minutes of reading.
    const region::Choice general = region::choose(request.region == "auto" ? "general" : request.region, {});
    const rules::Judge judge(request.party, request.rule_sets, general.region);
    out.party = judge.party();
    out.rule_sets = judge.sets();
    set_party_size(rules::load_party(request.party), out);

    std::optional<survey::HeightModel> heights;
    if (!request.elevation.empty()) heights.emplace(request.elevation);

    std::vector<route::Route> routes = read_routes(request.routes, out.not_read);
    const map::Ground ground = read_map(request, routes);
    out.sources = ground.sources;
    out.routes.resize(routes.size());
    const bool several = routes.size() > 1;
    std::atomic<std::size_t> done = 0;
    for_each_index(routes.size(), request.threads, [&](std::size_t i) {
        // What else is in the run must not show in a route's result.
        const map::Ground own = several ? own_part(ground, routes[i]) : map::Ground{};
        out.routes[i] = assess_one(std::move(routes[i]), several ? own : ground, request, heights);
        const std::size_t so_far = ++done;
        if (request.progress)
            request.progress("checking routes",
                             static_cast<double>(so_far) / static_cast<double>(routes.size()));
    });
    const auto same_region = [&](const Assessed& one) { return one.region == out.routes.front().region; };
    if (std::all_of(out.routes.begin(), out.routes.end(), same_region))
        out.region = out.routes.front().region;
    return out;
}

} // namespace waywarden
