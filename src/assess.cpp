#include "assess.hpp"

#include "card_walk.hpp"
#include "error.hpp"
#include "gap_walks.hpp"
#include "map/part_of.hpp"
#include "map/read.hpp"
#include "map/read_prepared.hpp"
#include "match/match.hpp"
#include "region/chooser.hpp"
#include "route/card_read.hpp"
#include "route/read.hpp"
#include "rules/setting.hpp"
#include "survey/contour_picture.hpp"
#include "survey/height_model.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <filesystem>
#include <optional>
#include <system_error>
#include <thread>

namespace waywarden {

namespace {

constexpr double k_reach_m = 400; ///< how far beside a route the map is read
constexpr double k_more_m = 500;  ///< more than the cells of two corridors' nets can differ by

/// What was handed in: a line, a line with its card, or a card alone, whose line is found on the map.
struct HandedIn {
    route::Route route; ///< of a card alone: empty until it is found
    std::optional<route::Card> card;
    std::optional<map::Corridor> to_find; ///< of a card alone: where to look for its line
    std::optional<CardWalk> found;
};

HandedIn read_handed_in(const std::string& path, const std::string& card_path) {
    HandedIn out;
    if (is_card_file(path)) {
        out.card = route::read_card_file(path);
        out.to_find = card_corridor(match::plan_of(*out.card));
        out.route.path = path;
        if (out.to_find->lines.front().size() < 2)
            throw DataError(path +
                            ": no two places on the card have a grid reference that can be read, so no "
                            "way can be looked for; write references with letters, or hand in a line too");
    } else {
        out.route = route::read_file(path);
        route::join_segments(out.route);
        if (!card_path.empty()) out.card = route::read_card_file(card_path);
    }
    return out;
}

/// Of several files those that cannot be read are told of; a file on its own, or all of them, end the run.
std::vector<HandedIn> read_routes(const Request& request, std::vector<NotRead>& not_read) {
    std::vector<HandedIn> out;
    std::exception_ptr first;
    for (std::size_t i = 0; i < request.routes.size(); ++i) {
        try {
            out.push_back(
                read_handed_in(request.routes[i], i < request.cards.size() ? request.cards[i] : ""));
        } catch (const DataError& e) {
            not_read.push_back({request.routes[i], e.what()});
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

/// Whether more is read than one route's own part.
bool part_of_more(const std::vector<HandedIn>& routes) {
    return routes.size() > 1 || routes.front().to_find;
}

/// Of several routes a little more is read, so that cutting out each one's own part leaves what reading for
/// it alone would give.
map::Corridor corridor_of(const std::vector<HandedIn>& routes) {
    map::Corridor out;
    out.reach_m = k_reach_m;
    for (const HandedIn& one : routes)
        if (one.to_find) out.reach_m = std::max(out.reach_m, one.to_find->reach_m);
    if (part_of_more(routes))
        for (double* reach_m : {&out.reach_m, &out.around_m, &out.shares_m})
            *reach_m += k_more_m;
    for (const HandedIn& one : routes) {
        if (one.to_find)
            out.lines.insert(out.lines.end(), one.to_find->lines.begin(), one.to_find->lines.end());
        else
            add_lines(one.route, out);
    }
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

/// The rules on cards count only where there is one.
std::vector<std::string> rule_sets_of(const Request& request, bool card) {
    std::vector<std::string> out = request.rule_sets;
    if (card) out.push_back("route-card");
    return out;
}

/// The line of a card alone, found on all of the ground that was read for it.
void find_line(HandedIn& handed_in, const map::Ground& ground) {
    if (!handed_in.to_find) return;
    handed_in.found = walk_card(*handed_in.card, ground);
    handed_in.route = handed_in.found->likeliest;
    if (handed_in.route.name.empty())
        handed_in.route.name = std::filesystem::path(handed_in.route.path).stem().string();
}

using Heights = std::optional<survey::HeightModel>;

survey::Given given_for(const route::Route& route, const Request& request, const rules::Party& party,
                        const region::Region& region, const Heights& heights) {
    survey::Given out{walkers_of(party), k_reach_m, timetable_of(request, party, region), people_of(party)};
    out.legs_every = request.legs_every;
    out.heights = heights ? survey::heights_of_model(route, *heights) : survey::heights_of_file(route);
    out.effort = rules::effort_of(party);
    return out;
}

/// What a run judges by, read but once.
struct Judges {
    rules::Judge plain;
    std::optional<rules::Judge> with_card; ///< where there is a card
    rules::Party party;
    region::Chooser region;
};

Assessed assess_one(HandedIn handed_in, const map::Ground& ground, const Request& request,
                    const Judges& judges, const Heights& heights) {
    route::Route& route = handed_in.route;
    const region::Choice choice = judges.region.choose(points_of(route));
    const rules::Judge judge = (handed_in.card ? judges.with_card.value() : judges.plain).in(choice.region);
    const match::Trace trace = match::match(route, ground);
    Assessed out;
    const survey::Given given = given_for(route, request, judges.party, choice.region, heights);
    out.survey = survey::survey(route, ground, trace, choice.region, request.date_s, given);
    if (handed_in.card)
        out.card = survey::check_card(std::move(*handed_in.card), route, ground,
                                      survey::leg_basis(choice.region, request.date_s, given), out.survey);
    out.findings = judge.judge(out.survey);
    out.grid = choice.region.grid;
    out.region = choice.region.name;
    out.region_note = choice.note;
    out.speed_in_mph = choice.region.speed_in_mph;
    if (request.map_picture) out.map_picture = survey::map_picture(route, ground, k_reach_m);
    if (request.map_picture && heights) {
        survey::add_contours(
            route, [&](geo::Position p) { return heights->height_m(p); }, out.map_picture);
        out.map_picture.heights_words = heights->words();
    }
    out.route = std::move(route);
    return out;
}

/// What the other ways that a card leaves open would add.
void add_other_ways(const CardWalk& walk, const map::Ground& ground, const Request& request,
                    const Judges& judges, const Heights& heights, Assessed& out) {
    std::vector<std::vector<rules::Finding>> found;
    for (const route::Route& variant : walk.variants) {
        HandedIn other;
        other.route = variant;
        found.push_back(
            assess_one(std::move(other), own_part(ground, variant), request, judges, heights).findings);
    }
    add_worse(walk, found, out.findings);
    auto& words = out.survey.not_seen;
    words.insert(words.empty() ? words.end() : words.end() - 1, walk.not_seen);
}

/// Where nobody says otherwise they set out when their card says.
Request with_start_of_card(Request request, const std::optional<route::Card>& card) {
    if (!request.start && card && card->date_start && card->date_start->has_clock)
        request.start = card->date_start;
    return request;
}

/// What else is in the run must not show in a route's result.
Assessed assess_own(HandedIn handed_in, const map::Ground& ground, bool cut, const Request& asked,
                    const Judges& judges, const Heights& heights) {
    const Request request = with_start_of_card(asked, handed_in.card);
    find_line(handed_in, ground);
    const map::Ground own = cut ? own_part(ground, handed_in.route) : map::Ground{};
    const auto walk = std::move(handed_in.found);
    Assessed out = assess_one(std::move(handed_in), cut ? own : ground, request, judges, heights);
    const JudgeLine judge_line = [&](const route::Route& line) {
        HandedIn one;
        one.route = line;
        Request without_picture = request;
        without_picture.map_picture = false;
        return assess_one(std::move(one), cut ? own : ground, without_picture, judges, heights).findings;
    };
    if (walk)
        add_other_ways(*walk, ground, request, judges, heights, out);
    else
        add_across_gaps(out.route, judge_line, out.findings);
    out.verdict = rules::verdict_of(out.findings);
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
        try {
            for (std::size_t i = 1; i < std::min(count, static_cast<std::size_t>(std::max(threads, 1))); ++i)
                others.emplace_back(run);
        } catch (const std::system_error&) {
            // The system gives no more threads: those there are do all the work.
        }
        run();
    }
    for (const std::exception_ptr& failure : failures)
        if (failure) std::rethrow_exception(failure);
}

map::Ground read_map(const Request& request, const std::vector<HandedIn>& routes) {
    map::ReadOptions options;
    options.threads = request.threads;
    if (request.progress)
        options.progress = [&](double share) { request.progress("reading the map", share); };
    return map::read(request.maps, corridor_of(routes), options);
}

Assessed assess_alone(HandedIn handed_in, const Request& request, const Judges& judges,
                      const Heights& heights) {
    std::vector<HandedIn> one;
    one.push_back(std::move(handed_in));
    const map::Ground ground = read_map(request, one);
    const bool cut = part_of_more(one);
    return assess_own(std::move(one.front()), ground, cut, request, judges, heights);
}

} // namespace

Assessment assess(const Request& request) {
    Assessment out;
    out.region = request.region;
    out.date_s = request.date_s;

    // A wrong name is told at once, not after minutes of reading.
    const region::Choice general = region::choose(request.region == "auto" ? "general" : request.region, {});
    Judges judges{rules::Judge(request.party, request.rule_sets, general.region), std::nullopt,
                  rules::load_party(request.party), region::Chooser(request.region)};
    out.party = judges.plain.party();
    set_party_size(judges.party, out);
    std::optional<survey::HeightModel> heights;
    if (!request.elevation.empty()) heights.emplace(request.elevation);

    std::vector<HandedIn> routes = read_routes(request, out.not_read);
    const bool any_card =
        std::any_of(routes.begin(), routes.end(), [](const HandedIn& one) { return one.card.has_value(); });
    if (any_card) judges.with_card.emplace(request.party, rule_sets_of(request, true), general.region);
    out.rule_sets = (any_card ? *judges.with_card : judges.plain).sets();
    const bool several = part_of_more(routes);
    const bool one_by_one = several && map::is_prepared(request.maps);
    const map::Ground ground =
        one_by_one ? map::read(request.maps, map::Corridor{}) : read_map(request, routes);
    out.sources = ground.sources;
    out.routes.resize(routes.size());
    std::atomic<std::size_t> done = 0;
    for_each_index(routes.size(), request.threads, [&](std::size_t i) {
        out.routes[i] = one_by_one
                            ? assess_alone(std::move(routes[i]), request, judges, heights)
                            : assess_own(std::move(routes[i]), ground, several, request, judges, heights);
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
