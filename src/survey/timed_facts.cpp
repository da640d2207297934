#include "survey/timed_facts.hpp"

#include "map/conditional.hpp"
#include "map/right_reading.hpp"
#include "survey/way_facts.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace waywarden::survey {

namespace {

void set_right(Facts& facts, const map::RightReading& right) {
    set_choice(facts, "right", map::to_string(right.right));
    set_text(facts, "right_value", right.value);
}

} // namespace

void set_timed_facts(Facts& facts, const Scene& scene, const map::Tags& tags, const Passage& passage) {
    using State = map::ClosedReading::State;
    const std::vector<std::string> timed = map::timed_tags(tags);
    facts.set("closed_then", false);
    if (timed.empty()) return;
    const auto when = scene.passing(passage.from_m, passage.to_m, passage.position);
    std::string words = fmt::format("{}", fmt::join(timed, "; "));
    facts.set("passing_time_known", when.has_value());
    set_text(facts, "passes_at", when ? map::words_of(*when) : "");
    map::ClosedReading reading{State::unknown, ""};
    if (when) {
        reading = map::closed_on_foot(tags, scene.region(), *when);
        set_right(facts, tags.has("barrier") ? map::right_of_barrier(tags, when)
                                             : map::right_of(tags, scene.region(), when));
    }
    if (reading.state == State::yes) facts.set("closed_then", true);
    if (reading.state == State::unknown) {
        facts.set_unknown("closed_then");
        if (!reading.because.empty()) words += fmt::format(" ({})", reading.because);
    }
    facts.set("conditional_words", words);
}

} // namespace waywarden::survey
