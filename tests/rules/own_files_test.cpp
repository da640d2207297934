#include "rules/library.hpp"
#include "rules/survey_kit.hpp"

#include <doctest/doctest.h>
#include <unistd.h>

#include <sstream>

/// The files of a leader's own that docs/writing-rules.md shows, as they stand there.
using namespace waywarden;
using namespace rules_kit;

namespace {

/// Every whole file on the page, by its name; those that are parts of one are left out.
std::vector<nlohmann::json> files_on_the_page() {
    std::ifstream page(std::string(WAYWARDEN_SOURCE_DATA) + "/../docs/writing-rules.md");
    REQUIRE(page);
    std::vector<nlohmann::json> out;
    std::string line, block;
    bool inside = false;
    while (std::getline(page, line)) {
        if (line == "```json") {
            inside = true;
            block.clear();
        } else if (line == "```" && inside) {
            inside = false;
            if (block.starts_with("{\n  \"$schema\"")) out.push_back(nlohmann::json::parse(block));
        } else if (inside) {
            block += line + "\n";
        }
    }
    return out;
}

/// The files of the page in a folder of their own; the party of the lantern walk names its rules by file.
class Folder {
  public:
    Folder() : m_path(std::filesystem::temp_directory_path() / ("own-files-" + std::to_string(getpid()))) {
        std::filesystem::create_directories(m_path);
        for (const auto& file : files_on_the_page()) {
            const std::string name = file.at("name").get<std::string>();
            std::ofstream(path(name == "skerry-youth" ? "skerry" : name)) << file.dump(2);
        }
    }
    ~Folder() { std::filesystem::remove_all(m_path); }
    std::string path(const std::string& name) const { return (m_path / (name + ".json")).string(); }

  private:
    std::filesystem::path m_path;
};

} // namespace

TEST_CASE("the rule sets on the page have nothing wrong") {
    const Folder folder;
    const std::vector<std::string> nothing;
    CHECK(rules::validate(folder.path("skerry")) == nothing);
    CHECK(rules::validate(folder.path("skerry-lantern-walk")) == nothing);
}

TEST_CASE("a party of one's own walks by the set beside it, which builds on a shipped one") {
    const Folder folder;
    survey::Survey survey = quiet_survey();
    set_facts(
        survey.route_facts,
        R"({"longest_without_toilets_m": 6000, "longest_without_water_m": 900, "parking_at_start": false})");
    add_stretch(survey, 400, R"({"surface": "asphalt", "lit": null})");
    add_spot(survey, 100, 100,
             R"({"kind": "gate", "barrier_kind": "kissing_gate", "barrier_passable": true, "queue_min": 12,
                 "right": "unknown"})");
    const auto findings = judged(survey, folder.path("skerry-lantern-party"));
    CHECK(said(findings) == std::vector<std::string>{"long-without-toilets:error", "path-without-lamps:note",
                                                     "stile-where-step-free-is-needed:error",
                                                     "queue-at-a-barrier:warning"});
    for (const auto& finding : findings)
        if (finding.rule == "queue-at-a-barrier")
            CHECK(finding.advice.find("Wick Farm") != std::string::npos);
    // The Thursday walk is a club's, without hundreds, and with steps counted.
    const auto thursday = judged(survey, folder.path("skerry-seniors"));
    CHECK(said(thursday) == std::vector<std::string>{"stile-where-step-free-is-needed:error"});
}

TEST_CASE("a set that a party names and that is not there is told of by file and line") {
    const TemporaryFile party("party-lost.json",
                              R"({"format": "waywarden-party", "version": 1, "name": "lost",
        "title": "Lost", "builds_on": "club-walk", "who": {},
        "rule_sets": ["no-such-file.json"]})");
    try {
        judged(quiet_survey(), party.path);
        FAIL("not refused");
    } catch (const std::exception& e) {
        const std::string words = e.what();
        CAPTURE(words);
        CHECK(words.find("party-lost.json:3: /rule_sets/0: ") != std::string::npos);
        CHECK(words.find("no-such-file.json") != std::string::npos);
    }
}
