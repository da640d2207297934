#include "report/paper.hpp"
#include "report/sample.hpp"
#include "report/words.hpp"
#include "report/write.hpp"

#include <doctest/doctest.h>

#include <sstream>

using namespace waywarden;

namespace {

std::string written(const Assessment& assessment, const report::TextStyle& style = {}) {
    std::ostringstream out;
    report::write_text(assessment, out, style);
    return out.str();
}

/// The text with its line breaks and setting-in taken out, to look for sentences in.
std::string flowing(const std::string& text) {
    std::string out;
    for (const char c : text)
        if (!((c == ' ' || c == '\n') && (out.empty() || out.back() == ' '))) out += c == '\n' ? ' ' : c;
    return out;
}

std::size_t place_of(const std::string& text, const std::string& words) {
    const std::size_t at = flowing(text).find(words);
    CAPTURE(words);
    CHECK(at != std::string::npos);
    return at;
}

} // namespace

TEST_CASE("the verdict comes first, then findings by weight, then what was not seen") {
    const std::string text = written(test::sample());
    const std::size_t verdict = place_of(text, "OBJECTIONS: 1 objection, 1 caution, 1 note");
    place_of(text, "- Walking along a fast road (km 0.7)");
    const std::size_t error = place_of(text, "1. OBJECTION: Walking along a fast road");
    const std::size_t warning = place_of(text, "2. CAUTION: A farmyard");
    const std::size_t note = place_of(text, "3. NOTE: A stile");
    const std::size_t unseen = place_of(text, "What was not seen");
    const std::size_t end = place_of(text, std::string(report::k_no_approval));
    CHECK(verdict < error);
    CHECK(error < warning);
    CHECK(warning < note);
    CHECK(note < unseen);
    CHECK(unseen < end);
}

TEST_CASE("a finding can be traced") {
    const std::string text = written(test::sample());
    // Reference of the 100 m square: GeographicLib 2.1.2, echo 56.002 3.001 | GeoConvert -m -p -2
    place_of(text, "32V JH 261 225, km 0.70 to 1.04 (340 m)");
    place_of(text, "way/12 highway=secondary, maxspeed=60 mph (edited 19 July 2022)");
    place_of(text, "To do: Ask for a way round.");
    place_of(text, "Grounds: [1]");
    place_of(text, "[1] The Highway Code, rules 1, 2 and 5 (DfT/DVSA)");
    place_of(text, "island.osm.pbf, data until 20 July 2026");
    place_of(text, "© OpenStreetMap contributors");
}

TEST_CASE("nothing found is not called safe") {
    Assessment clean = test::sample();
    clean.routes[0].findings.clear();
    clean.routes[0].verdict = rules::Verdict::no_objection;
    const std::string text = written(clean);
    place_of(text, "NO OBJECTION FOUND");
    place_of(text, "That is not an approval");
    place_of(text, std::string(report::k_no_approval));
    CHECK(flowing(text).find("safe") == std::string::npos);
}

TEST_CASE("a map of unknown age says so") {
    Assessment old = test::sample();
    old.sources[0].data_until.reset();
    place_of(written(old), "nobody knows how old its data is");
}

TEST_CASE("what keeps a route from being vouched for leads the findings") {
    Assessment off = test::sample();
    auto& findings = off.routes[0].findings;
    findings.push_back(test::finding(rules::Level::warning, 1100, 1200, "Off the edge of the map"));
    findings.back().blocks_vouching = true;
    off.routes[0].verdict = rules::Verdict::cannot_vouch;
    const std::string text = written(off);
    place_of(text, "CANNOT VOUCH: 1 objection, 2 cautions, 1 note");
    place_of(text, "1. CAUTION: Off the edge of the map [cannot vouch]");
}

TEST_CASE("colour only where it is asked for, and never from a name") {
    Assessment rude = test::sample();
    rude.routes[0].route.name = "x\x1b[31m";
    rude.routes[0].findings[0].message = "\x1b]0;title\x07";
    CHECK(written(rude).find('\x1b') == std::string::npos);
    CHECK(written(rude).find('\x07') == std::string::npos);
    const std::string coloured = written(rude, {.colour = true});
    CHECK(coloured.find("\x1b[1;31m") != std::string::npos);
    CHECK(coloured.find("\x1b]0") == std::string::npos);
}

TEST_CASE("lines keep to the width") {
    Assessment wordy = test::sample();
    wordy.routes[0].findings[0].message =
        std::string("long words and more of them ") + std::string(400, ' ') + "end";
    for (int i = 0; i < 50; ++i)
        wordy.routes[0].findings[1].advice += " ask again";
    std::istringstream lines(written(wordy));
    for (std::string line; std::getline(lines, line);)
        CHECK(report::columns(line) <= 78);
}

TEST_CASE("several routes: the worst first, and those not read are named") {
    Assessment all = test::sample();
    Assessed good = all.routes[0];
    good.route.name = "Lighthouse";
    good.findings.clear();
    good.verdict = rules::Verdict::no_objection;
    Assessed bad = all.routes[0];
    bad.route.name = "Causeway";
    bad.verdict = rules::Verdict::cannot_vouch;
    all.routes = {good, all.routes[0], bad};
    all.not_read = {{"routes/torn.gpx", "routes/torn.gpx: line 3: the file ends in the middle; get it anew"}};
    std::ostringstream out;
    report::write_summary_text(all, out);
    const std::string text = out.str();
    const std::size_t torn = place_of(text, "COULD NOT BE READ routes/torn.gpx");
    const std::size_t worst = place_of(text, "Causeway"), middle = place_of(text, "Three Bays");
    CHECK(torn < worst);
    CHECK(worst < middle);
    CHECK(middle < place_of(text, "Lighthouse"));
    place_of(text, "line 3: the file ends in the middle");
    place_of(text, std::string(report::k_no_approval));
}
