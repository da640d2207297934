#include "map/tag_reading.hpp"
#include "report/sample.hpp"
#include "report/write.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <limits>
#include <sstream>

using namespace waywarden;
using Json = nlohmann::json;

// Names and meanings: docs/result.schema.json, the published format.
namespace {

std::string written(const Assessment& assessment) {
    std::ostringstream out;
    report::write_json(assessment, out);
    return out.str();
}

} // namespace

TEST_CASE("the result says what the format promises") {
    const Json result = Json::parse(written(test::sample()));
    CHECK(result["format"] == "waywarden-result");
    CHECK(result["version"] == 1);
    CHECK(result["map"][0]["data_until"] == "2026-07-20T20:21:30Z");
    CHECK(result["map"][0]["bounds"] == Json::array({2.9, 55.9, 3.2, 56.1}));
    const Json& route = result["routes"][0];
    CHECK(route["verdict"] == "objections");
    CHECK(route["source"] == Json{{"path", "routes/three-bays.gpx"}, {"format", "gpx"}});
    CHECK(route["by_access"] == Json{{"footpath", 700.01}, {"minor_road", 534.56}});
    CHECK(route["legs"] == Json::array());
    const Json& stretch = route["stretches"][0];
    CHECK(stretch["right"] == "presumed");
    CHECK(stretch["osm"] == "way/11");
    CHECK(stretch["facts"]["speed_limit_kmh"].is_null());
    CHECK(stretch["line"][1] == Json::array({3.0123457, 56.0}));
    const Json& crossing = route["crossings"][0];
    CHECK(crossing["of"] == "road");
    CHECK(crossing["means"] == "level");
    const Json& finding = route["findings"][1];
    CHECK(finding["level"] == "error");
    CHECK(finding["evidence"][0]["edited"] == "2022-07-19T20:21:30Z");
    CHECK(finding["evidence"][0]["tags"]["maxspeed"] == "60 mph");
}

TEST_CASE("stretches meet exactly after rounding") {
    const Json route = Json::parse(written(test::sample()))["routes"][0];
    CHECK(route["stretches"][0]["from_m"] == 0.0);
    CHECK(route["stretches"][1]["from_m"] == route["stretches"][0]["to_m"]);
    CHECK(route["stretches"][1]["to_m"] == route["length_m"]);

    Assessment hair = test::sample(); // the two doubles on either side of a half differ by the last bit
    auto& stretches = hair.routes[0].survey.stretches;
    stretches[1].from_m = std::nextafter(stretches[0].to_m, 0.0);
    const Json again = Json::parse(written(hair))["routes"][0]["stretches"];
    CHECK(again[1]["from_m"] == again[0]["to_m"]);
}

TEST_CASE("what is not known is null, and no number is anything but finite") {
    Assessment bare = test::sample();
    bare.sources[0].data_until.reset();
    bare.sources[0].bounds.reset();
    Assessed& route = bare.routes[0];
    route.survey.stretches[0].reading.osm.reset();
    route.survey.stretches[0].reading.facts.set("speed_limit_kmh", std::numeric_limits<double>::infinity());
    route.findings[1].evidence[0].edited_s = 0;
    const std::string text = written(bare);
    const Json result = Json::parse(text);
    CHECK(result["map"][0]["data_until"].is_null());
    CHECK(result["map"][0]["bounds"].is_null());
    CHECK(result["routes"][0]["stretches"][0]["osm"].is_null());
    CHECK(result["routes"][0]["stretches"][0]["facts"]["speed_limit_kmh"].is_null());
    CHECK(result["routes"][0]["findings"][1]["evidence"][0]["edited"].is_null());
    CHECK(text.find("inf") == std::string::npos);
    CHECK(text.find("nan") == std::string::npos);
}

TEST_CASE("names that are no UTF-8 still make a JSON text") {
    Assessment odd = test::sample();
    odd.routes[0].route.name = "bad \xFF\x1b name";
    const std::string text = written(odd);
    CHECK(Json::parse(text)["routes"][0]["name"] == "bad \uFFFD\x1b name");
    CHECK(text.find('\x1b') == std::string::npos);
}

TEST_CASE("the same assessment gives the same bytes") {
    CHECK(written(test::sample()) == written(test::sample()));
}

TEST_CASE("the schema knows every word the program has") {
    std::ifstream file(std::string(WAYWARDEN_FIXTURES) + "/../docs/result.schema.json");
    const Json schema = Json::parse(file);
    const auto words = [&](const char* pointer) { return schema.at(Json::json_pointer(pointer)); };
    const auto knows = [](const Json& all, const char* word) {
        CAPTURE(word);
        CHECK(std::find(all.begin(), all.end(), word) != all.end());
    };
    const Json access = words("/$defs/access/enum");
    CHECK(access.size() == static_cast<std::size_t>(map::Access::open_ground) + 1);
    for (std::size_t i = 0; i < access.size(); ++i)
        knows(access, map::to_string(static_cast<map::Access>(i)));
    const Json right = words("/$defs/right/enum");
    CHECK(right.size() == static_cast<std::size_t>(map::Right::forbidden) + 1);
    for (std::size_t i = 0; i < right.size(); ++i)
        knows(right, map::to_string(static_cast<map::Right>(i)));
    const Json means = words("/$defs/crossing/properties/means/enum");
    CHECK(means.size() == static_cast<std::size_t>(survey::Means::none) + 1);
    for (std::size_t i = 0; i < means.size(); ++i)
        knows(means, survey::to_string(static_cast<survey::Means>(i)));
    const Json of = words("/$defs/crossing/properties/of/enum");
    CHECK(of.size() == static_cast<std::size_t>(survey::CrossingOf::barrier) + 1);
    for (std::size_t i = 0; i < of.size(); ++i)
        knows(of, survey::to_string(static_cast<survey::CrossingOf>(i)));
    const Json verdicts = words("/$defs/route/properties/verdict/enum");
    CHECK(verdicts.size() == static_cast<std::size_t>(rules::Verdict::cannot_vouch) + 1);
    for (std::size_t i = 0; i < verdicts.size(); ++i)
        knows(verdicts, rules::to_string(static_cast<rules::Verdict>(i)));
    const Json grades = words("/$defs/finding/properties/evidence_grade/enum");
    CHECK(grades.size() == static_cast<std::size_t>(rules::EvidenceGrade::unknown) + 1);
    for (std::size_t i = 0; i < grades.size(); ++i)
        knows(grades, rules::to_string(static_cast<rules::EvidenceGrade>(i)));
}
