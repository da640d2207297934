// Everything that is read from tags: lines of "key=value".
#include "fuzz/fuzz.hpp"
#include "map/conditional.hpp"
#include "map/kinds.hpp"
#include "map/right_reading.hpp"
#include "map/speed_reading.hpp"
#include "map/tag_reading.hpp"

namespace waywarden::fuzz {

void target(std::string_view bytes) {
    static const region::Region regions[] = {region::load("england"), region::load("general"),
                                             region::load("ireland")};
    std::vector<std::pair<std::string, std::string>> pairs;
    while (!bytes.empty() && pairs.size() < 40) {
        const auto line = bytes.substr(0, bytes.find('\n'));
        bytes.remove_prefix(std::min(line.size() + 1, bytes.size()));
        const auto equals = line.find('=');
        if (equals == std::string_view::npos || equals == 0) continue;
        pairs.emplace_back(line.substr(0, equals), line.substr(equals + 1));
    }
    const map::Tags tags(pairs);
    map::access_of(tags);
    map::line_kind(tags);
    map::lifecycle(tags);
    map::timed_tags(tags);
    using namespace std::chrono;
    const local_seconds noon = local_days{year{2027} / May / 15} + hours{12};
    const map::At when{noon, noon + hours{1}, {3.1, 56.2}, "Europe/London"};
    for (const region::Region& region : regions) {
        const map::SpeedReading speed = map::speed_of(tags, region);
        must(!speed.limit_kmh || *speed.limit_kmh >= 0, "a limit that is none"); // infinite: none on the road
        map::right_of(tags, region);
        map::right_of(tags, region, when);
        map::closed_on_foot(tags, region, when);
        map::read_way(tags, region);
    }
    map::right_of_barrier(tags, when);
}

} // namespace waywarden::fuzz
