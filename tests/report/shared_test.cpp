#include "report/shared.hpp"
#include "report/states.hpp"
#include "report/write.hpp"
#include "sample.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <sstream>

using namespace waywarden;
using namespace waywarden::test;

TEST_CASE("what several routes rest on is found once, the most shared first") {
    Assessment assessment = sample();
    CHECK(report::shared_findings(assessment).empty()); // one route shares nothing with itself
    Assessed other = assessment.routes.front();
    other.route.name = "Two Bays";
    other.route.path = "routes/two-bays.gpx";
    assessment.routes.push_back(other);
    auto shared = report::shared_findings(assessment);
    REQUIRE(shared.size() == 1); // the note does not count, and both others rest on one object
    CHECK(shared[0].routes.size() == 2);
    CHECK(report::shared_words(shared[0]).find("Three Bays (three-bays.gpx), Two Bays (two-bays.gpx)") !=
          std::string::npos);
    assessment.routes[1].findings[1].evidence[0].osm.id = 13;
    assessment.routes[1].findings[2].evidence[0].osm.id = 13;
    CHECK(report::shared_findings(assessment).empty());
    assessment.routes[1].findings[1].evidence[0].osm.id = 12;
    assessment.routes[1].findings[1].rule = "another-rule";
    CHECK(report::shared_findings(assessment).empty());
}

TEST_CASE("what routes share is in the result and in a table of its own") {
    Assessment assessment = sample();
    const auto result = [&] {
        std::ostringstream out;
        report::write_json(assessment, out);
        return nlohmann::json::parse(out.str())["shared"];
    };
    CHECK(result() == nlohmann::json::array());
    assessment.routes.push_back(assessment.routes.front());
    assessment.routes[1].route.name = "=Two, Bays";
    assessment.routes[1].route.path = "routes/two-bays.gpx";
    const auto shared = result();
    REQUIRE(shared.size() == 1);
    CHECK(shared[0]["osm"] == "way/12");
    CHECK(shared[0]["level"] == "error");
    CHECK(shared[0]["routes"].size() == 2);
    CHECK(shared[0]["routes"][1]["path"] == "routes/two-bays.gpx");
    std::ostringstream table;
    report::write_shared_csv(assessment, table);
    std::vector<std::string> lines;
    std::istringstream in(table.str());
    for (std::string line; std::getline(in, line);)
        lines.push_back(line);
    REQUIRE(lines.size() == 3); // the heads, and the thing for each of its routes
    CHECK(lines[1].starts_with("1,2,error,"));
    CHECK(lines[2].find("way/12,\"'=Two, Bays\",routes/two-bays.gpx") != std::string::npos);
}

TEST_CASE("what became of findings is counted in words") {
    Assessment assessment = sample();
    Assessed& route = assessment.routes.front();
    CHECK(report::states_words(route).empty());
    route.findings[0].state = rules::State::fresh;
    route.findings[1].state = rules::State::unchanged;
    route.findings[2].state = rules::State::unchanged;
    route.absent = {route.findings[0], route.findings[0], route.findings[0]};
    CHECK(report::states_words(route) ==
          "Since the result compared with: 1 new, 2 unchanged, 3 no longer found.");
    route.findings[1].accepted = rules::Acceptance{"leader", "seen", "2027-01-01"};
    route.findings[2].acceptance_lapsed = "its last day is over";
    CHECK(report::states_words(route).ends_with("1 finding is accepted and not counted. 1 finding was "
                                                "accepted before and counted again; each says why."));
}
