#include "error.hpp"
#include "rules/library.hpp"
#include "rules/survey_kit.hpp"

#include <doctest/doctest.h>

using namespace waywarden;
using namespace waywarden::rules;
using rules_kit::TemporaryFile;

namespace {

const char* const k_set = R"({
"format": "waywarden-rules", "version": 1, "name": "skerry-club", "title": "The club of Skerry Island",
"rules": [
{ "id": "skerry-steps", "title": "Steps", "level": "note", "about": "stretch",
"when": { "fact": "steps", "is": true },
"if_unknown": "ignore",
"message": "{length_m_words} of steps along {name}",
"advice": "Count them.",
"grounds": [ { "common_practice": true, "text": "steps are slow" } ],
"examples": [ { "facts": { "steps": true }, "gives": "note" },
{ "facts": { "steps": null }, "gives": null },
{ "facts": { "steps": false }, "gives": null } ] } ] }
)";

std::string replaced(std::string text, const std::string& from, const std::string& to) {
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

/// The problems of a text, without the name of the file in front.
std::vector<std::string> problems(const std::string& text) {
    const TemporaryFile file("set.json", text);
    std::vector<std::string> out = validate(file.path);
    for (std::string& one : out)
        if (one.starts_with(file.path)) one = one.substr(file.path.size() + 1);
    return out;
}

std::vector<std::string> problems_with(const std::string& from, const std::string& to) {
    return problems(replaced(k_set, from, to));
}

using Texts = std::vector<std::string>;

} // namespace

TEST_CASE("a set that is right has no problems, and loads") {
    CHECK(problems(k_set) == Texts{});
    const TemporaryFile file("good.json", k_set);
    const std::vector<std::string> names{file.path};
    const Library library = load_sets(names);
    REQUIRE(library.rules.size() == 1);
    CHECK(library.sets.front().name == "skerry-club");
}

TEST_CASE("errors name line, pointer and the nearest right name") {
    CHECK(problems_with(R"("fact": "steps", "is")", R"("fact": "stepps", "is")") ==
          Texts{"5: /rules/0/when/fact: there is no fact \"stepps\"; did you mean \"steps\"?"});
    CHECK(problems_with(R"({ "fact": "steps", "is": true })", R"({ "fact": "pavement", "is": "nonne" })") ==
          Texts{"5: /rules/0/when/is: cannot be \"nonne\"; did you mean \"none\"?"});
    CHECK(problems_with(R"({ "fact": "steps", "is": true })", R"({ "fact": "highway", "at_least": 3 })") ==
          Texts{"5: /rules/0/when/at_least: \"highway\" is a text, which has no order; use \"is\", \"in\" or "
                "\"known\""});
    CHECK(problems_with(R"({ "fact": "steps", "is": true })", R"({ "fact": "waterway", "is": "river" })") ==
          Texts{"5: /rules/0/when/fact: \"waterway\" is no fact of a stretch; it is one of a crossing"});
    CHECK(problems_with(R"({ "fact": "steps", "is": true })", R"({ "fact": "steps", "is": "yes" })") ==
          Texts{"5: /rules/0/when/is: must be true or false"});
    CHECK(
        problems_with(R"("if_unknown": "ignore")", R"("if_unknwon": "ignore")") ==
        Texts{"6: /rules/0/if_unknwon: nothing is called \"if_unknwon\" here; did you mean \"if_unknown\"?"});
    CHECK(problems_with(R"("level": "note")", R"("level": "eror")") ==
          Texts{"4: /rules/0/level: cannot be \"eror\"; did you mean \"error\"?"});
    CHECK(problems_with("{name}", "{nme}") ==
          Texts{"7: /rules/0/message: {nme} is no fact of a stretch; did you mean \"name\"?"});
    CHECK(problems_with("{name}", "{name") ==
          Texts{"7: /rules/0/message: a brace { or } stands alone; write {fact}"});
    CHECK(problems_with(R"("id": "skerry-steps")", R"("id": "Skerry Steps")") ==
          Texts{"4: /rules/0/id: must be small letters, digits and single hyphens: long-road-walk"});
    CHECK(problems_with(R"("advice": "Count them.",)", "") ==
          Texts{"4: /rules/0: \"advice\" is missing; add it"});
    CHECK(problems_with(R"("version": 1)", R"("version": 2)") ==
          Texts{"2: /version: must be 1, the version this program reads"});
}

TEST_CASE("conditions that nothing can fulfil are refused") {
    const std::string when = R"({ "fact": "steps", "is": true })";
    CHECK(
        problems_with(
            when, R"({ "all": [ { "fact": "lanes", "at_least": 4 }, { "fact": "lanes", "below": 2 } ] })") ==
        Texts{
            "5: /rules/0/when/all: can never be true: the demands on the fact lanes contradict each other"});
    CHECK(problems_with(when,
                        R"({ "all": [ { "fact": "lanes", "is": 4 }, { "fact": "lanes", "known": false } ] })")
              .size() == 1);
    CHECK(problems_with(
              when,
              R"({ "all": [ { "fact": "access", "is": "track" }, { "fact": "access", "in": ["water"] } ] })")
              .size() == 1);
    CHECK(problems_with(when, R"({ "all": [] })") ==
          Texts{"5: /rules/0/when/all: is empty; put a condition in it"});
    CHECK(problems_with(when, R"({ "fact": "lanes", "in": [] })") ==
          Texts{"5: /rules/0/when/in: an empty list can never be true; name a value"});
}

TEST_CASE("examples are run, and all three kinds must be there") {
    CHECK(problems_with(R"({ "facts": { "steps": true }, "gives": "note" })",
                        R"({ "facts": { "steps": true }, "gives": "error" })") ==
          Texts{"10: /rules/0/examples/0/gives: the rule \"skerry-steps\" gives note for this example, which "
                "expects error; "
                "mend the one or the other"});
    CHECK(problems_with(R"({ "facts": { "steps": null }, "gives": null },)", "") ==
          Texts{"10: /rules/0/examples: none has an unknown fact; add one that gives a fact as null"});
}

TEST_CASE("text that is no JSON, nests too deep or gives a key twice is refused without a crash") {
    CHECK(problems(R"({ "format": )").size() == 1);
    CHECK(problems("").size() == 1);
    CHECK(problems_with(R"("title": "Steps",)", R"("title": "Steps", "title": "More",)") ==
          Texts{"4: /rules/0/title: the key \"title\" is given twice; keep one of them"});
    const std::string deep = std::string(200000, '[');
    CHECK(problems(deep) == Texts{"1: nested deeper than 48 levels; no rule needs that, write it flatter"});
    CHECK(problems_with("\"title\": \"Steps\",", "\"title\": \"Steps\"")
              .front()
              .starts_with("4: this is not JSON"));
    CHECK(validate("/nowhere/skerry.json").size() == 1);
    CHECK(validate("/tmp") == Texts{"/tmp: is a folder; name a file in it"});
    CHECK(
        problems(
            R"({"format": "waywarden-rules", "version": 1, "name": "x", "title": "x", "rules": [null, 1, {"id": 5}],
"change": 3, "leave_out": [1]})") ==
        Texts{"2: /leave_out/0: must be a text in quotes", "2: /change: must be an object {…}",
              "1: /rules/0: must be an object {…}", "1: /rules/1: must be an object {…}",
              "1: /rules/2/id: must be a text in quotes"});
}

TEST_CASE("a set that builds on itself, or on one that is not there, is refused") {
    const auto own =
        problems_with(R"("rules": [)", R"("builds_on": ["waywarden-rules-test-set.json"], "rules": [)");
    REQUIRE(own.size() == 1);
    CHECK(own.front().find("builds on itself") != std::string::npos);
    const auto missing = problems_with(R"("rules": [)", R"("builds_on": ["walking-cor"], "rules": [)");
    REQUIRE(missing.size() == 1);
    CHECK(missing.front().find("there is no rule set \"walking-cor\"; did you mean \"walking-core\"?") !=
          std::string::npos);
    const auto change = problems_with(R"("rules": [)",
                                      R"("builds_on": ["walking-core"], "leave_out": ["fordd"], "rules": [)");
    REQUIRE(change.size() == 1);
    CHECK(change.front() ==
          "3: /leave_out/0: no rule \"fordd\" in what this set builds on; did you mean \"ford\"?");
}

TEST_CASE("the shipped sets and parties have no problems") {
    for (const std::string& name : set_names())
        CHECK(validate(std::string(WAYWARDEN_SOURCE_DATA) + "/sets/" + name + ".json") == Texts{});
    CHECK(shipped("parties") == Texts{"charity-walk", "club-walk", "youth-expedition"});
    for (const std::string& name : shipped("parties"))
        CHECK(load_party(name).values.size() == party_table().size());
    CHECK_THROWS_WITH_AS(load_party("club-wlk"),
                         "there is no party \"club-wlk\"; did you mean \"club-walk\"?; a file of your own is "
                         "given with .json at its end",
                         ArgumentError);
}

TEST_CASE("how a party walks") {
    // The shipped youth party: 3.5 km/h, 10 min for 100 m, 10 min of rest in an hour. 7 km with 300 m of
    // climb.
    const auto youth = effort_of(load_party("youth-expedition"));
    REQUIRE(youth);
    CHECK(*survey::walking_min(*youth, 7000, 300, 300) == doctest::Approx(150));
    CHECK(survey::rest_min(*youth, 150) == doctest::Approx(25));

    const std::string head =
        R"({"format": "waywarden-party", "version": 1, "name": "x", "title": "X", "who": )";
    const TemporaryFile naismith(
        "naismith.json", head + R"({"time_method": "naismith", "rest_min_per_h": 5, "load_factor": 1.5}})");
    const auto effort = effort_of(load_party(naismith.path));
    REQUIRE(effort);
    CHECK(*survey::walking_min(*effort, 5000, 0, 0) == doctest::Approx(90));
    // Without a pace, or without rests, nobody knows how long it takes.
    const TemporaryFile no_pace("no-pace.json", head + R"({"rest_min_per_h": 5, "climb_min_per_100m": 10}})");
    CHECK(!effort_of(load_party(no_pace.path)));
    const TemporaryFile no_rest("no-rest.json",
                                head + R"({"time_method": "tobler", "rest_min_per_h": null}})");
    CHECK(!effort_of(load_party(no_rest.path)));
}

TEST_CASE("a party that cannot be is refused") {
    const auto refusal = [](const std::string& who) {
        const TemporaryFile file("odd.json", R"({"format": "waywarden-party", "version": 1, "name": "x",
            "title": "X", "who": )" + who + "}");
        try {
            load_party(file.path);
        } catch (const DataError& e) {
            return std::string(e.what()).substr(file.path.size());
        }
        return std::string();
    };
    CHECK(refusal(R"({"time_method": "naismit"})").find("did you mean \"naismith\"") != std::string::npos);
    CHECK(refusal(R"({"pace_kmh": 0})").find("/who/pace_kmh: must be more than 0 and at most 20 km/h") !=
          std::string::npos);
    CHECK(refusal(R"({"pace_kmh": 35})").find("at most 20 km/h") != std::string::npos);
    CHECK(refusal(R"({"load_factor": -1})").find("must be more than 0 and at most 5") != std::string::npos);
    CHECK(refusal(R"({"rest_min_per_h": -5})").find("must be 0 to 120 minutes") != std::string::npos);
    for (const char* number : {"0", "-5", "2.5", "1e300"})
        CHECK(refusal(R"({"number": )" + std::string(number) + "}").find("must be a whole number from 1") !=
              std::string::npos);
    CHECK(refusal(R"({"pace_kmh": null, "load_factor": 1.2})").empty());
}

TEST_CASE("a party of one's own builds on a shipped one") {
    const TemporaryFile file("party.json",
                             R"({"format": "waywarden-party", "version": 1, "name": "skerry-seniors",
        "title": "Seniors", "builds_on": "club-walk", "who": {"sac_limit": 1, "number": null}})");
    const Party party = load_party(file.path);
    CHECK(party.values.at("sac_limit") == survey::FactValue(1.0));
    CHECK(party.values.at("group_size") == survey::FactValue(20.0));
}
