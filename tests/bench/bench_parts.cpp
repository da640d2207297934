// What each part of a run costs, by Google Benchmark. The island always; with real maps and walks those too:
//
//     bench_parts [--benchmark_filter=matching] [MAP.osm.pbf ROUTE...]
//
// Routes are read from the file given before them: one map a call. Reading a map is on two threads, all
// else on one. `points/s` counts the points of the route file.
#include "assess.hpp"
#include "bench/tag_lists.hpp"
#include "map/prepare.hpp"
#include "map/read.hpp"
#include "match/match.hpp"
#include "region/region.hpp"
#include "report/write.hpp"
#include "route/read.hpp"
#include "rules/rule_set.hpp"
#include "survey/hits.hpp"

#include <benchmark/benchmark.h>
#include <unistd.h>

#include <filesystem>
#include <iostream>
#include <memory>
#include <sstream>

namespace {

using namespace waywarden;
using benchmark::State;

constexpr std::int64_t k_date_s = 1796428800; // 2026-12-05

/// Everything that the parts are given, worked out once.
struct Walk {
    std::string name;
    std::vector<std::string> maps, prepared;
    route::Route route;
    std::size_t points = 0;
    map::Corridor corridor;
    region::Region region = region::load("england");
    map::Ground ground;
    match::Trace trace;
    survey::Survey survey;
    Assessment assessment; ///< of the whole chain, for the writers
};

Walk make_walk(const std::string& map, const std::string& prepared, const std::string& path) {
    Walk out;
    out.name = std::filesystem::path(path).stem().string();
    out.maps = {map};
    out.prepared = {prepared};
    out.route = route::read_file(path);
    for (const route::Segment& segment : out.route.segments) {
        auto& line = out.corridor.lines.emplace_back();
        for (const route::RoutePoint& point : segment.points)
            line.push_back(point.position);
        out.points += line.size();
    }
    out.ground = map::read(out.maps, out.corridor);
    out.trace = match::match(out.route, out.ground);
    out.survey = survey::survey(out.route, out.ground, out.trace, out.region, k_date_s);
    Request request;
    request.routes = {path};
    request.maps = out.maps;
    request.region = "england";
    request.date_s = k_date_s;
    request.map_picture = true;
    out.assessment = assess(request);
    return out;
}

void count_points(State& state, const Walk& walk) {
    state.counters["points/s"] =
        benchmark::Counter(static_cast<double>(walk.points), benchmark::Counter::kIsIterationInvariantRate);
}

void read_map(State& state, const std::vector<std::string>& paths, const Walk& walk) {
    for (auto _ : state)
        benchmark::DoNotOptimize(map::read(paths, walk.corridor));
}

void matching(State& state, const Walk& walk) {
    for (auto _ : state)
        benchmark::DoNotOptimize(match::match(walk.route, walk.ground));
    count_points(state, walk);
}

/// The crossings alone, with the scene that they are found in.
void crossings(State& state, const Walk& walk) {
    for (auto _ : state) {
        const survey::Scene scene(walk.ground, walk.trace, walk.region);
        const survey::AreaFinder finder(scene);
        benchmark::DoNotOptimize(find_hits(scene, finder, find_water_spans(scene, finder)));
    }
}

void whole_survey(State& state, const Walk& walk) {
    for (auto _ : state)
        benchmark::DoNotOptimize(survey::survey(walk.route, walk.ground, walk.trace, walk.region, k_date_s));
}

void judging(State& state, const Walk& walk) {
    const rules::Judge judge("youth-expedition", {}, walk.region);
    for (auto _ : state)
        benchmark::DoNotOptimize(judge.judge(walk.survey));
}

template <class Write> void writing(State& state, const Walk& walk, Write write) {
    std::size_t bytes = 0;
    for (auto _ : state) {
        std::ostringstream out;
        write(walk.assessment, out);
        bytes = out.view().size();
    }
    state.counters["bytes"] = static_cast<double>(bytes);
}

void reading_rules(State& state) {
    const region::Region region = region::load("england");
    for (auto _ : state)
        benchmark::DoNotOptimize(rules::Judge("youth-expedition", {}, region));
}

/// A tag list a way of a rural map, one of the list after the other.
void reading_tags(State& state) {
    const region::Region region = region::load("england");
    const std::vector<map::Tags> lists = bench::tag_lists();
    for (auto _ : state)
        for (const map::Tags& tags : lists)
            benchmark::DoNotOptimize(map::read_way(tags, region));
    state.counters["ways/s"] =
        benchmark::Counter(static_cast<double>(lists.size()), benchmark::Counter::kIsIterationInvariantRate);
}

template <class Part> auto* add(const std::string& name, Part part) {
    return benchmark::RegisterBenchmark(name.c_str(), part)->Unit(benchmark::kMicrosecond);
}

void add_parts(const Walk& walk) {
    const auto named = [&](const char* part) { return part + ("/" + walk.name); };
    add(named("reading_extract"), [&](State& s) { read_map(s, walk.maps, walk); })->UseRealTime();
    add(named("reading_prepared"), [&](State& s) { read_map(s, walk.prepared, walk); })->UseRealTime();
    add(named("matching"), [&](State& s) { matching(s, walk); });
    add(named("crossings"), [&](State& s) { crossings(s, walk); });
    add(named("whole_survey"), [&](State& s) { whole_survey(s, walk); });
    add(named("judging"), [&](State& s) { judging(s, walk); });
    const auto as_text = [](const Assessment& a, std::ostream& out) { report::write_text(a, out); };
    add(named("writing_text"), [&walk, as_text](State& s) { writing(s, walk, as_text); });
    add(named("writing_json"), [&](State& s) { writing(s, walk, report::write_json); });
    add(named("writing_html"), [&](State& s) { writing(s, walk, report::write_html); });
}

/// A file that goes with the run.
struct Scratch {
    explicit Scratch(const std::string& name)
        : path(std::filesystem::temp_directory_path() / (name + std::to_string(getpid()))) {}
    ~Scratch() {
        std::error_code ignored;
        std::filesystem::remove(path, ignored);
    }
    Scratch(const Scratch&) = delete;
    Scratch& operator=(const Scratch&) = delete;
    std::filesystem::path path;
};

void run(const std::vector<std::string>& given) {
    std::vector<std::unique_ptr<Walk>> walks; // benchmarks hold on to them
    std::vector<std::unique_ptr<Scratch>> prepared;
    const auto add_map = [&](const std::string& map, const std::vector<std::string>& routes) {
        prepared.push_back(std::make_unique<Scratch>("bench_parts-" + std::to_string(prepared.size()) + "-"));
        const std::string file = prepared.back()->path.string();
        map::prepare(std::vector<std::string>{map}, file, {});
        for (const std::string& route : routes) {
            walks.push_back(std::make_unique<Walk>(make_walk(map, file, route)));
            add_parts(*walks.back());
        }
    };
    const std::string fixtures = WAYWARDEN_FIXTURES;
    add("reading_rules", reading_rules);
    add("reading_tags", reading_tags);
    add_map(fixtures + "/island.osm.pbf", {fixtures + "/routes/team-day-1.gpx"});
    if (!given.empty()) add_map(given.front(), {given.begin() + 1, given.end()});
    for (const auto& walk : walks)
        std::cerr << walk->name << ": " << walk->points << " points, " << walk->trace.length_m / 1000
                  << " km, error " << walk->trace.error_m << " m\n";
    benchmark::RunSpecifiedBenchmarks();
}

} // namespace

int main(int argc, char** argv) {
    benchmark::Initialize(&argc, argv);
    if (argc == 2) {
        std::cerr << "bench_parts [--benchmark_...] [MAP ROUTE...]\n";
        return 2;
    }
    try {
        run({argv + 1, argv + argc});
    } catch (const std::exception& e) {
        std::cerr << e.what() << '\n';
        return 2;
    }
    benchmark::Shutdown();
}
