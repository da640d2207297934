#include "survey/queue.hpp"

#include <doctest/doctest.h>

using namespace waywarden::survey;

// The seconds are rules of thumb (common practice, no source); what is tested is what follows from them.
TEST_CASE("a queue grows with the party and with how slow the place is") {
    CHECK(queue_min(15, 300) == doctest::Approx(75));
    CHECK(queue_min(1, 300) == doctest::Approx(5));
    CHECK(queue_min(15, 1) == doctest::Approx(0.25));
    CHECK(*pass_s_per_walker("stile") > *pass_s_per_walker("step_over"));
    CHECK(*pass_s_per_walker("step_over") > *pass_s_per_walker("kissing_gate"));
    CHECK(*pass_s_per_walker("kissing_gate") > *pass_s_per_walker("gate"));
}

TEST_CASE("what lets nobody through, and what nobody knows, has no time") {
    for (const char* kind : {"", "wall", "fence", "hedge", "a word that is not there"})
        CHECK_MESSAGE(!pass_s_per_walker(kind), kind);
}

TEST_CASE("two go abreast where there is room") {
    CHECK(narrow_s_per_walker(0.6) == pass_s_per_walker("gap"));
    CHECK(!narrow_s_per_walker(1.2));
}
