#include "error.hpp"
#include "region/region.hpp"

#include <doctest/doctest.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>

using namespace waywarden;
using region::Region;

namespace {

constexpr double k_kmh_per_mph = 1.609344;

std::string file_text(const std::string& name) {
    std::ifstream in(std::string(WAYWARDEN_SOURCE_DATA) + "/regions/" + name + ".json");
    REQUIRE(in);
    return {std::istreambuf_iterator<char>(in), {}};
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

std::string refusal(const std::string& text) {
    try {
        region::parse(text, "x.json");
    } catch (const DataError& e) {
        return e.what();
    }
    return "accepted";
}

region::Choice choose_at(double lat_deg, double lon_deg) {
    const std::vector<geo::Position> line{{lon_deg, lat_deg}, {lon_deg + 0.001, lat_deg}};
    return region::choose("auto", line);
}

const region::SpeedRow* row_for(const Region& region, const std::string& highway, bool dual, bool built_up) {
    for (const region::SpeedRow& row : region.presumed_speed) {
        if (!row.highway.empty() &&
            std::find(row.highway.begin(), row.highway.end(), highway) == row.highway.end())
            continue;
        if (row.dual.value_or(dual) == dual && row.built_up.value_or(built_up) == built_up) return &row;
    }
    return nullptr;
}

} // namespace

TEST_CASE("the shipped regions are those of the fixed names, and each loads") {
    const std::vector<std::string> expected{"england",          "general",  "ireland", "isle-of-man",
                                            "northern-ireland", "scotland", "wales"};
    CHECK(region::names() == expected);
    for (const std::string& name : region::names()) {
        CAPTURE(name);
        const Region r = region::load(name);
        CHECK(r.name == name);
        CHECK(!r.grounds.empty());
        CHECK((name == "general") == r.boundary.empty());
        const auto has_source = [](const region::Grounds& g) {
            return !g.note.empty() || (!g.title.empty() && !g.date.empty());
        };
        for (const auto& row : r.presumed_speed)
            CHECK(has_source(row.grounds));
        for (const auto& row : r.speed_words)
            CHECK(has_source(row.grounds));
        for (const auto& row : r.presumed_foot)
            CHECK(has_source(row.grounds));
    }
}

TEST_CASE("an unknown region is an argument error that names those there are") {
    CHECK_THROWS_WITH_AS(
        region::load("atlantis"),
        "--region atlantis: there is no such region; there are auto, england, general, ireland, "
        "isle-of-man, northern-ireland, scotland, wales",
        ArgumentError);
    CHECK_THROWS_AS(region::load("../england"), ArgumentError);
    CHECK_THROWS_AS(region::load(""), ArgumentError);
    CHECK_THROWS_AS(region::choose("atlantis", {}), ArgumentError);
}

// Source: GOV.UK, Speed limits (cars): built-up areas 30 mph, 20 mph in Wales since 17 September 2023; single
// carriageways 60, dual carriageways 70, motorways 70 mph.
TEST_CASE("presumed limits are the national ones") {
    struct Row {
        const char* region;
        const char* highway;
        bool dual, built_up;
        double mph;
    };
    for (const Row& row : {Row{"england", "residential", false, true, 30},
                           {"england", "tertiary", false, false, 60},
                           {"england", "primary", true, false, 70},
                           {"england", "motorway", true, false, 70},
                           {"england", "trunk", false, false, 60},
                           {"england", "trunk", true, false, 70},
                           {"scotland", "residential", false, true, 30},
                           {"scotland", "unclassified", false, false, 60},
                           {"wales", "residential", false, true, 20},
                           {"wales", "secondary", false, false, 60},
                           {"wales", "primary", true, false, 70},
                           {"northern-ireland", "residential", false, true, 30},
                           {"isle-of-man", "residential", false, true, 30},
                           {"isle-of-man", "primary", false, false, 0}}) {
        CAPTURE(row.region);
        CAPTURE(row.highway);
        const Region r = region::load(row.region);
        const region::SpeedRow* found = row_for(r, row.highway, row.dual, row.built_up);
        REQUIRE(found);
        CHECK(found->limit_kmh == doctest::Approx(row.mph * k_kmh_per_mph).epsilon(1e-12));
    }
    CHECK(region::load("general").presumed_speed.empty());
}

// Source: Land Reform (Scotland) Act 2003 s.1; The Highway Code rule 6.
TEST_CASE("access that law presumes") {
    for (const std::string& name : region::names()) {
        CAPTURE(name);
        const Region r = region::load(name);
        CHECK(r.open_country_is_open == (name == "scotland"));
        const auto motorway =
            std::find_if(r.presumed_foot.begin(), r.presumed_foot.end(), [](const auto& row) {
                return std::find(row.highway.begin(), row.highway.end(), "motorway") != row.highway.end();
            });
        REQUIRE(motorway != r.presumed_foot.end());
        CHECK(motorway->right == "forbidden");
    }
}

// Places beside the borders, inland and on islands. Positions from memory, to about a kilometre; which
// country a town lies in is common knowledge.
TEST_CASE("auto finds the country") {
    struct Row {
        std::string place;
        double lat_deg, lon_deg;
        const char* region;
        bool near_border;
    };
    for (const Row& row : {Row{"Oakham", 52.67, -0.73, "england", false},
                           {"Penzance", 50.12, -5.54, "england", false},
                           {"Scilly", 49.92, -6.30, "england", false},
                           {"Lundy", 51.18, -4.67, "england", false},
                           {"Dover", 51.13, 1.31, "england", false},
                           {"Lowestoft", 52.48, 1.75, "england", false},
                           {"Spurn", 53.58, 0.12, "england", false},
                           {"Scafell Pike", 54.4542, -3.2117, "england", false},
                           {"Kinder Scout", 53.385, -1.873, "england", false},
                           {"Newcastle", 54.97, -1.61, "england", false},
                           {"Liverpool", 53.41, -2.99, "england", false},
                           {"Birmingham", 52.48, -1.9, "england", false},
                           {"Isle of Wight", 50.60, -1.30, "england", false},
                           {"Hereford", 52.056, -2.716, "england", false},
                           {"Yr Wyddfa", 53.0685, -4.0762, "wales", false},
                           {"Holyhead", 53.31, -4.63, "wales", false},
                           {"St Davids", 51.88, -5.27, "wales", false},
                           {"Cardiff", 51.48, -3.18, "wales", false},
                           {"Pen y Fan", 51.884, -3.437, "wales", false},
                           {"Bardsey", 52.76, -4.79, "wales", false},
                           {"Aberystwyth", 52.415, -4.08, "wales", false},
                           {"Ben Nevis", 56.7968, -5.0035, "scotland", false},
                           {"Lerwick", 60.155, -1.145, "scotland", false},
                           {"Unst", 60.84, -0.89, "scotland", false},
                           {"St Kilda", 57.8135, -8.5785, "scotland", false},
                           {"Mull of Kintyre", 55.31, -5.80, "scotland", false},
                           {"Stranraer", 54.90, -5.03, "scotland", false},
                           {"Islay", 55.76, -6.29, "scotland", false},
                           {"Edinburgh", 55.95, -3.19, "scotland", false},
                           {"Fair Isle", 59.53, -1.63, "scotland", false},
                           {"Douglas", 54.15, -4.48, "isle-of-man", false},
                           {"Snaefell", 54.263, -4.4615, "isle-of-man", false},
                           {"Belfast", 54.6, -5.93, "northern-ireland", false},
                           {"Omagh", 54.60, -7.30, "northern-ireland", false},
                           {"Slieve Donard", 54.1801, -5.9208, "northern-ireland", false},
                           {"Rathlin", 55.29, -6.2, "northern-ireland", false},
                           {"Dublin", 53.35, -6.26, "ireland", false},
                           {"Carrauntoohil", 51.999, -9.743, "ireland", false},
                           {"Achill", 53.96, -10.1, "ireland", false},
                           {"Malin Head", 55.38, -7.37, "ireland", false},
                           {"Sligo", 54.27, -8.48, "ireland", false},
                           {"Vaduz", 47.14, 9.52, "general", true},
                           {"Calais", 50.95, 1.85, "general", true},
                           {"Jersey", 49.2, -2.13, "general", true},
                           {"Alderney", 49.72, -2.2, "general", true},
                           // near a border the stricter one, whichever side the place is on
                           {"Gretna", 54.996, -3.067, "england", true},
                           {"Coldstream", 55.652, -2.25, "england", true},
                           {"Berwick-upon-Tweed", 55.77, -2.0, "england", true},
                           {"Carter Bar", 55.354, -2.478, "england", true},
                           {"Chepstow", 51.64, -2.675, "england", true},
                           {"Hay-on-Wye", 52.074, -3.126, "england", true},
                           {"Knighton", 52.344, -3.05, "england", true},
                           {"Monmouth", 51.813, -2.716, "england", true},
                           {"Welshpool", 52.66, -3.147, "england", true},
                           {"Chester", 53.19, -2.89, "england", true},
                           {"Strabane", 54.827, -7.465, "northern-ireland", true},
                           {"Dundalk", 54.004, -6.40, "northern-ireland", true},
                           {"Clones", 54.18, -7.23, "northern-ireland", true},
                           {"Newry", 54.176, -6.34, "northern-ireland", false}}) {
        CAPTURE(row.place);
        const region::Choice choice = choose_at(row.lat_deg, row.lon_deg);
        CHECK(choice.region.name == row.region);
        CHECK(choice.note.empty() == !row.near_border);
    }
}

TEST_CASE("a line from one country to another is judged by the stricter, and says so") {
    const std::vector<geo::Position> line{{-3.2, 51.9}, {-2.4, 51.9}};
    const region::Choice choice = region::choose("auto", line);
    CHECK(choice.region.name == "england");
    CHECK(choice.note ==
          "The route is near a border (England, Wales); the stricter, England, is judged. Name a region "
          "to choose.");
    // two far points in England with Wales between them
    const std::vector<geo::Position> across{{-2.9, 53.2}, {-4.67, 51.18}};
    CHECK(region::choose("auto", across).note.find("England, Wales") != std::string::npos);
    CHECK(region::choose("wales", line).note.empty());
    CHECK(region::choose("wales", line).region.name == "wales");
}

TEST_CASE("auto never throws: no line, damaged numbers, missing data") {
    CHECK(region::choose("auto", {}).region.name == "general");
    const std::vector<geo::Position> damaged{{std::nan(""), 52}, {1e300, -1e300}};
    CHECK(region::choose("auto", damaged).region.name == "general");
    REQUIRE(setenv("WAYWARDEN_DATA", "/nonexistent", 1) == 0);
    const region::Choice choice = choose_at(52.67, -0.73);
    CHECK_THROWS_AS(region::load("england"), DataError);
    REQUIRE(unsetenv("WAYWARDEN_DATA") == 0);
    CHECK(choice.region.name == "general");
    CHECK(choice.region.presumed_foot.empty());
    CHECK(choice.note.find("/nonexistent") != std::string::npos);
}

TEST_CASE("a damaged region file beside good ones is told of") {
    namespace fs = std::filesystem;
    const fs::path folder = fs::temp_directory_path() / ("waywarden-region-" + std::to_string(::getpid()));
    fs::remove_all(folder);
    fs::create_directories(folder / "regions");
    std::ofstream(folder / "regions" / "england.json") << file_text("england");
    std::ofstream(folder / "regions" / "wales.json") << "{";
    std::ofstream(folder / "regions" / "general.json") << file_text("england");
    REQUIRE(setenv("WAYWARDEN_DATA", folder.c_str(), 1) == 0);
    const region::Choice choice = choose_at(52.67, -0.73);
    CHECK_THROWS_AS(region::load("general"), DataError);
    REQUIRE(unsetenv("WAYWARDEN_DATA") == 0);
    fs::remove_all(folder);
    CHECK(choice.region.name == "england");
    CHECK(choice.note.find("wales.json: line 1: this is not JSON") != std::string::npos);
    CHECK(choice.note.find("/name: is \"england\" but the file is called general") != std::string::npos);
}

TEST_CASE("what is wrong in a region file is said with its place") {
    const std::string good = file_text("england");
    CHECK(refusal(good) == "accepted");
    struct Row {
        const char *from, *to, *message;
    };
    for (const Row& row :
         {Row{"\"border_km\"", "\"boarder_km\"", "x.json: /boarder_km: no such key here"},
          {"\"grid\": \"british\"", "\"grid\": \"swiss\"",
           "x.json: /grid: \"swiss\" is none of british, irish, utm"},
          {"\"version\": 1", "\"version\": 2", "x.json: /version: must be 1"},
          {"\"limit\": \"70 mph\"", "\"limit\": \"70\"",
           "x.json: /presumed_speed/0/limit: \"70\" is no limit"},
          {"\"limit\": \"70 mph\"", "\"limit\": 70", "x.json: /presumed_speed/0/limit: must be a text"},
          {"\"limit\": \"70 mph\"", "\"limits\": \"70 mph\"",
           "x.json: /presumed_speed/0/limits: no such key here"},
          {"\"dual\": false", "\"dual\": \"no\"", "x.json: /presumed_speed/1/dual: must be true or false"},
          {"\"grounds\": \"limits-gb\"", "\"grounds\": \"hearsay\"",
           "x.json: /presumed_speed/0/grounds: \"hearsay\" is no id under /grounds"},
          {"\"right\": \"forbidden\"", "\"right\": \"allowed\"",
           "x.json: /presumed_foot/0/right: \"allowed\" is none of"},
          {"\"nsl_single\"", "\"NSL_single\"", "x.json: /speed_words/1/words/0: must be in lower case"},
          {"\"highway\": [\"motorway\", \"motorway_link\"]", "\"highway\": []",
           "x.json: /presumed_speed/0/highway: must not be empty"},
          {"[\"gb-wls:nsl_restricted\"]", "[]", "x.json: /speed_words/0/words: must not be empty"},
          {"[-3.9, 53.65]", "[53.65, -3.9]", "x.json: /boundary/0: is no closed ring"},
          {"[-3.9, 53.65]", "[-3.9, 153.65]", "x.json: /boundary/0/0: is off the globe"},
          {"[-3.9, 53.65]", "[-3.9]", "x.json: /boundary/0/0: must be [longitude, latitude]"},
          {"\"title\": \"England\",", "", "x.json: the whole file: \"title\" is missing"},
          {"\"drives_on\": \"left\",", "\"drives_on\": \"left\"", "this is not JSON"}}) {
        CAPTURE(row.to);
        const std::string message = refusal(replaced(good, row.from, row.to));
        CAPTURE(message);
        CHECK(message.find(row.message) != std::string::npos);
    }
    CHECK(refusal("[]").find("must be an object") != std::string::npos);
    CHECK(refusal("").find("line 1: this is not JSON") != std::string::npos);
    CHECK(refusal("[5e308]").find("holds a number that is too large") != std::string::npos); // by fuzzing
}
