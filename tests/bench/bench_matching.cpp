// Drawn points matched a second, and what a survey costs beside it, on one core.
//
//     bench_matching MAP.osm.pbf ROUTE...
#include "map/read.hpp"
#include "match/match.hpp"
#include "region/region.hpp"
#include "route/read.hpp"
#include "survey/survey.hpp"

#include <algorithm>
#include <chrono>
#include <iostream>

namespace {

using namespace waywarden;

template <class F> double fastest_s(F&& work) {
    double best_s = 1e9;
    for (int i = 0; i < 5; ++i) {
        const auto start = std::chrono::steady_clock::now();
        work();
        best_s =
            std::min(best_s, std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
    }
    return best_s;
}

} // namespace

int main(int argc, char** argv) {
    if (argc < 3) {
        std::cerr << "bench_matching MAP ROUTE...\n";
        return 2;
    }
    const std::vector<std::string> maps{argv[1]};
    const region::Region region = region::load("general");
    for (int i = 2; i < argc; ++i) {
        const route::Route route = route::read_file(argv[i]);
        map::Corridor corridor;
        std::size_t points = 0;
        for (const auto& segment : route.segments) {
            auto& line = corridor.lines.emplace_back();
            for (const auto& point : segment.points)
                line.push_back(point.position);
            points += line.size();
        }
        const map::Ground ground = map::read(maps, corridor);
        match::Trace trace;
        const double match_s = fastest_s([&] { trace = match::match(route, ground); });
        const double survey_s = fastest_s([&] { survey::survey(route, ground, trace, region, 0); });
        std::cout << argv[i] << ": " << points << " points, " << trace.length_m / 1000 << " km, error "
                  << trace.error_m << " m; matched "
                  << static_cast<long>(static_cast<double>(points) / match_s) << " points/s ("
                  << 1000 * match_s << " ms), survey " << 1000 * survey_s << " ms\n";
    }
}
