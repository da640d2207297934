// Opening hours and conditional restrictions: never throw, whatever the bytes; what is open all day is open
// at noon.
#include "fuzz/fuzz.hpp"
#include "map/conditional.hpp"
#include "map/hours.hpp"

namespace waywarden::fuzz {

void target(std::string_view bytes) {
    using namespace std::chrono;
    const local_seconds noon = local_days{year{2027} / May / 15} + hours{12};
    const map::At at_noon{noon, noon, {3.1, 56.2}, "Europe/London"};
    const map::At all_day{noon - hours{6}, noon + hours{6}, {3.1, 56.2}, "Europe/London"};
    const map::At nowhere{noon, noon, {3.1, 56.2}, ""};
    const map::HoursReading then = map::hours_at(bytes, at_noon), long_then = map::hours_at(bytes, all_day);
    if (long_then.state != map::Opening::unknown)
        must(then.state == long_then.state, "open all day, but not at noon");
    map::hours_at(bytes, nowhere);
    if (!map::can_read_hours(bytes))
        must(then.state == map::Opening::unknown || !bytes.empty(), "a value that cannot be read was read");
    const auto conditional = map::conditional_at(bytes, at_noon);
    must(!conditional.readable || !conditional.possible.empty(), "no word is possible");
}

} // namespace waywarden::fuzz
