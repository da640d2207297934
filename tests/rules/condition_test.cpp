#include "rules/condition.hpp"
#include "rules/survey_kit.hpp"

#include <doctest/doctest.h>

using namespace waywarden;
using namespace waywarden::rules;
using rules_kit::facts;

namespace {

Condition condition(const std::string& json, survey::SubjectKind about = survey::SubjectKind::stretch) {
    const Document document(json, "x.json");
    return read_condition(whole(document), about);
}

Truth truth(const std::string& json, const std::string& known) {
    const survey::Facts given = facts(known);
    const Setting setting{{{"sac_limit", 2.0}}, {}};
    return evaluate(condition(json), {given, setting});
}

} // namespace

TEST_CASE("the connectives follow Kleene's strong tables") {
    // S. C. Kleene, Introduction to Metamathematics (1952), section 64: t, f, u. Tables from memory.
    const Truth f = Truth::no, u = Truth::unknown, t = Truth::yes;
    const Truth values[] = {f, u, t};
    const Truth conjunction[3][3] = {{f, f, f}, {f, u, u}, {f, u, t}};
    const Truth disjunction[3][3] = {{f, u, t}, {u, u, t}, {t, t, t}};
    for (int a = 0; a < 3; ++a)
        for (int b = 0; b < 3; ++b) {
            CHECK(both(values[a], values[b]) == conjunction[a][b]);
            CHECK(either(values[a], values[b]) == disjunction[a][b]);
        }
    CHECK(negated(t) == f);
    CHECK(negated(u) == u);
    CHECK(negated(f) == t);
}

TEST_CASE("a tree of conditions comes out as its parts do") {
    const std::string fast = R"({"fact": "speed_limit_kmh", "at_least": 80})";
    const std::string none = R"({"fact": "pavement", "is": "none"})";
    const std::string all = R"({"all": [)" + fast + "," + none + "]}",
                      any = R"({"any": [)" + fast + "," + none + "]}";
    CHECK(truth(all, R"({"speed_limit_kmh": 96, "pavement": "none"})") == Truth::yes);
    CHECK(truth(all, R"({"speed_limit_kmh": 96, "pavement": null})") == Truth::unknown);
    CHECK(truth(all, R"({"speed_limit_kmh": 48, "pavement": null})") == Truth::no);
    CHECK(truth(any, R"({"speed_limit_kmh": 96})") == Truth::yes);
    CHECK(truth(any, R"({"speed_limit_kmh": 48})") == Truth::unknown);
    CHECK(truth(R"({"not": )" + any + "}", R"({"speed_limit_kmh": 48})") == Truth::unknown);
    CHECK(truth(R"({"not": )" + any + "}", R"({"speed_limit_kmh": 96})") == Truth::no);
}

TEST_CASE("each comparison at its bound") {
    const std::string at = R"({"sac_grade": 2})";
    CHECK(truth(R"({"fact": "sac_grade", "at_least": 2})", at) == Truth::yes);
    CHECK(truth(R"({"fact": "sac_grade", "above": 2})", at) == Truth::no);
    CHECK(truth(R"({"fact": "sac_grade", "at_most": 2})", at) == Truth::yes);
    CHECK(truth(R"({"fact": "sac_grade", "below": 2})", at) == Truth::no);
    CHECK(truth(R"({"fact": "sac_grade", "in": [1, 2]})", at) == Truth::yes);
    CHECK(truth(R"({"fact": "sac_grade", "known": true})", at) == Truth::yes);
    CHECK(truth(R"({"fact": "sac_grade", "known": true})", "{}") == Truth::no);
    CHECK(truth(R"({"fact": "sac_grade", "known": false})", "{}") == Truth::yes);
    CHECK(truth(R"({"fact": "sac_grade", "above": {"party": "sac_limit"}})", at) == Truth::no);
    CHECK(truth(R"({"fact": "sac_grade", "at_least": {"party": "sac_limit"}})", at) == Truth::yes);
    CHECK(truth(R"({"party": "step_free", "is": true})", at) == Truth::unknown);
}

TEST_CASE("only the facts that decided are named") {
    const auto tree = condition(R"({"all": [{"fact": "access", "is": "footpath"},
        {"any": [{"fact": "steps", "is": true}, {"fact": "ladder", "is": true}]}]})");
    const survey::Facts given = facts(R"({"access": "footpath", "steps": true})");
    std::set<std::string> decided;
    deciding_facts(tree, {given, {}}, decided);
    CHECK(decided == std::set<std::string>{"access", "steps"});
}

TEST_CASE("facts refuse what the table does not have") {
    survey::Facts some;
    CHECK_THROWS_AS(some.set("speed", 3.0), std::logic_error);
    CHECK_THROWS_AS(some.set("lanes", true), std::logic_error);
    CHECK_THROWS_AS(some.set("pavement", std::string("maybe")), std::logic_error);
    CHECK_THROWS_AS(some.set_unknown("speed"), std::logic_error);
    some.set("lanes", 2.0);
    some.set_unknown("pavement");
    CHECK(some.number("lanes") == 2.0);
    CHECK(!some.get("pavement"));
    CHECK(some.all().size() == 2);
    CHECK(std::is_sorted(some.all().begin(), some.all().end(),
                         [](auto& a, auto& b) { return a.first < b.first; }));
}
