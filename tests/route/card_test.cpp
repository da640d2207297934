#include "error.hpp"
#include "route/card_read.hpp"
#include "route/card_references.hpp"
#include "route/card_values.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <fstream>
#include <sstream>

// How cards are laid out and what people write into them: common practice, no source, except where one is
// named. Places and teams are invented.

namespace {

using namespace waywarden;
using namespace std::chrono_literals;

route::Card read(const std::string& text) {
    return route::read_card(text, "card.csv");
}

std::string refusal(const std::string& bytes) {
    try {
        read(bytes);
    } catch (const DataError& e) {
        return e.what();
    }
    return "read";
}

std::string remarks(const route::Card& card) {
    std::string out;
    for (const route::CardRemark& remark : card.remarks)
        out += std::to_string(remark.source_line) + ": " + remark.text + "\n";
    return out;
}

bool holds(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

/// The reference as parsed again from the place: what was read, not what was written.
std::string square(const route::CardPlace& place, int figures = 6) {
    if (!place.square) return "none";
    return geo::grid_reference(place.square->middle, geo::GridSystem::british, figures);
}

const std::string k_titles =
    "Leg;From;Grid reference;To;Grid reference;Bearing;Distance (km);Climb (m);Time (min)\n";

} // namespace

TEST_CASE("the template is read whole and without a remark") {
    std::ifstream in(std::string(WAYWARDEN_FIXTURES) + "/../docs/route-card-template.csv");
    REQUIRE(in);
    std::ostringstream text;
    text << in.rdbuf();
    const route::Card card = read(text.str());
    CHECK(remarks(card) == "");
    CHECK(card.team == "Fulmar");
    CHECK(card.day == "1");
    REQUIRE(card.date_start);
    CHECK(card.date_start->has_clock);
    CHECK(card.date_start->at == geo::read_time("2027-05-15T09:00")->at);
    REQUIRE(card.legs.size() == 3);
    const route::CardLeg& leg = card.legs[0];
    CHECK(leg.label == "1");
    CHECK(leg.from.name == "Saltholm Green");
    CHECK(square(leg.from) == "OM 595 068");
    CHECK(leg.to.name == "Wendrith Bridge");
    CHECK(square(leg.to) == "OM 606 091");
    CHECK(leg.to.figures == 6);
    CHECK_FALSE(leg.to.letters_assumed);
    CHECK(leg.direction_deg == 26);
    CHECK_FALSE(leg.direction_magnetic);
    CHECK(leg.distance_m == 2700);
    CHECK(leg.distance_step_m == doctest::Approx(100));
    CHECK(leg.ascent_m == 40);
    CHECK(leg.travel_min == 45);
    CHECK(leg.rest_min == 10);
    CHECK(leg.total_min == 55);
    CHECK(leg.arrive == 9h + 55min);
    CHECK(leg.escape == "B9981, south");
    CHECK(leg.notes == "stay on the bridleway");
    CHECK(leg.source_line == 7);
    CHECK(card.total_distance_m == doctest::Approx(6400));
    CHECK(card.total_ascent_m == 110);
    CHECK(card.total_travel_min == 110);
    CHECK(card.total_rest_min == 10);
    CHECK(card.total_min == 120);
}

TEST_CASE("columns in another order, by other words, with other separators") {
    for (const char separator : {';', ',', '\t'}) {
        std::string text =
            "ETA|Escape route|Height gain / m|To|Map ref|Direction|Distance|From|GR|Travel time\n"
            "10:05 am|road|30|Tarn|OM606091|NNE|2,7 km|Green|OM 595068|1h05\n"
            "11.20|road|0 m|Camp|OM 61800 06900|S.E.|1 mi|Tarn||1:15\n";
        if (separator == ',') text.replace(text.find("2,7"), 3, "2.7");
        std::replace(text.begin(), text.end(), '|', separator);
        CAPTURE(text);
        const route::Card card = read(text);
        CHECK(remarks(card) == "");
        REQUIRE(card.legs.size() == 2);
        CHECK(square(card.legs[0].from) == "OM 595 068");
        CHECK(square(card.legs[0].to) == "OM 606 091");
        CHECK(card.legs[0].direction_deg == 22.5);
        CHECK(card.legs[0].direction_step_deg == 22.5);
        CHECK(card.legs[0].distance_m == 2700);
        CHECK(card.legs[0].ascent_m == 30);
        CHECK(card.legs[0].travel_min == 65);
        CHECK(card.legs[0].arrive == 10h + 5min);
        CHECK(card.legs[1].from.name == "Tarn");
        CHECK(card.legs[1].to.figures == 10);
        CHECK(square(card.legs[1].to, 10) == "OM 61800 06900");
        CHECK(card.legs[1].direction_deg == 135);
        CHECK(card.legs[1].direction_step_deg == 45);
        CHECK(card.legs[1].distance_m == doctest::Approx(1609.344)); // international mile
        CHECK(card.legs[1].travel_min == 75);
        CHECK(card.legs[1].arrive == 11h + 20min);
    }
}

TEST_CASE("titles in two rows, names and references in one cell, quoting and line ends of spreadsheets") {
    const route::Card card =
        read("Team: Sandpiper\r\nStart;Saltholm Green (OM 595 068)\r\n"
             "From;;To;;Travel;;\r\nPlace;Grid ref;Place;Grid ref;Distance km;Time min;Details\r\n"
             "\"Green; the \"\"old\"\" one\";OM 595 068;Tarn;OM 606 091;2.7;45;\"over\nthe hill\"\r\n"
             "Tarn;OM 606 091;Camp;OM 618 069;1.8;30;\r\n");
    CHECK(remarks(card) == "");
    CHECK(card.team == "Sandpiper");
    REQUIRE(card.legs.size() == 2);
    CHECK(card.legs[0].from.name == "Green; the \"old\" one");
    CHECK(card.legs[0].notes == "over the hill");
    CHECK(card.legs[0].distance_m == 2700);
    CHECK(card.legs[1].source_line == 7); // the quoted line end counts

    const route::Card one_cell =
        read("From,To,Distance km,Time min\r\"Green OM 595 068\",\"OM606091 (Tarn)\",2.7,45\r");
    REQUIRE(one_cell.legs.size() == 1);
    CHECK(one_cell.legs[0].from.name == "Green");
    CHECK(square(one_cell.legs[0].from) == "OM 595 068");
    CHECK(one_cell.legs[0].to.name == "Tarn");
    CHECK(square(one_cell.legs[0].to) == "OM 606 091");
}

TEST_CASE("a table with one checkpoint a row") {
    const std::string rows_arriving = "Checkpoint;Grid ref;Distance km;Time min\nGreen;OM 595 068;;\n"
                                      "Tarn;OM 606 091;2.7;45\nCamp;OM 618 069;1.8;30\n";
    const std::string rows_leaving = "Checkpoint;Grid ref;Distance km;Time min\nGreen;OM 595 068;2.7;45\n"
                                     "Tarn;OM 606 091;1.8;30\nCamp;OM 618 069;;\n";
    for (const std::string& text : {rows_arriving, rows_leaving}) {
        const route::Card card = read(text);
        CHECK(remarks(card) == "");
        REQUIRE(card.legs.size() == 2);
        CHECK(card.legs[0].from.name == "Green");
        CHECK(card.legs[0].to.name == "Tarn");
        CHECK(card.legs[0].distance_m == 2700);
        CHECK(card.legs[1].distance_m == 1800);
        CHECK(card.legs[1].to.name == "Camp");
    }
    const route::Card unclear = read("Checkpoint;Grid ref;Distance km;Time min\nGreen;OM 595 068;1;1\n"
                                     "Tarn;OM 606 091;2.7;45\n");
    CHECK(holds(remarks(unclear), "does not show which leg"));
}

TEST_CASE("encodings") {
    const std::string text =
        "From;To;Distance km;Notes\nL\xC3\xB8kken OM 595 068;Tarn OM 606 091;2.7;45\xC2\xB0\n";
    std::string utf16 = "\xFF\xFE", latin;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto lead = static_cast<unsigned char>(text[i]);
        const unsigned c =
            lead < 0x80 ? lead : ((lead & 0x1Fu) << 6 | (static_cast<unsigned char>(text[++i]) & 0x3Fu));
        utf16 += static_cast<char>(c), utf16 += '\0';
        latin += static_cast<char>(c);
    }
    for (const std::string& bytes : {text, "\xEF\xBB\xBF" + text, utf16, utf16.substr(2), latin}) {
        const route::Card card = read(bytes);
        REQUIRE(card.legs.size() == 1);
        CHECK(card.legs[0].from.name == "L\xC3\xB8kken");
        CHECK(card.legs[0].notes == "45\xC2\xB0");
    }
}

TEST_CASE(
    "references without letters take the square of the head, else of the nearest with letters, and say so") {
    const route::Card head =
        read("Grid square;OM\n" + k_titles + "1;Green;595 068;Tarn;606091;26;2.7;0;45\n");
    CHECK(square(head.legs[0].to) == "OM 606 091");
    CHECK(head.legs[0].to.letters_assumed);
    CHECK(holds(remarks(head),
                "3: references without letters (line 3) are read in the square OM, as the head"));

    const route::Card nearest = read(k_titles + "1;Green;OM 595 068;Tarn;6060 0910;26;2.7;0;45\n"
                                                "2;Tarn;60 09;Camp;OL 901 001;26;2.7;0;45\n");
    CHECK(square(nearest.legs[0].to) == "OM 606 091");
    CHECK(square(nearest.legs[1].from, 4) == "OL 60 09"); // the nearest letters are those of its own row
    CHECK(nearest.legs[1].from.figures == 4);
    CHECK(holds(remarks(nearest), "square OM, that of the nearest reference with letters"));

    const route::Card none = read(k_titles + "1;Green;595 068;Tarn;606 091;26;2.7;0;45\n");
    CHECK_FALSE(none.legs[0].to.square);
    CHECK(holds(remarks(none), "has no letters of its 100 km square"));
}

TEST_CASE("a reference that cannot be read is kept as written and told with its line") {
    for (const char* bad :
         {"OM 6060 91", "91113", "OM 606 091 1", "QX 1", "SI 914 113", "OM 606091123456", "606091 595068"}) {
        CAPTURE(bad);
        const route::Card card = read(k_titles + "1;Green;OM 595 068;Tarn;" + bad + ";26;2.7;0;45\n");
        CHECK_FALSE(card.legs[0].to.square);
        CHECK(card.legs[0].to.name == "Tarn");
        CHECK_FALSE(card.legs[0].to.reference.empty());
        CHECK(holds(remarks(card), "2: the grid reference"));
    }
    const route::Card zero = read(k_titles + "1;Green;OM 595 068;Tarn;91113;26;2.7;0;45\n");
    CHECK(holds(remarks(zero), "a spreadsheet may have taken a zero"));
}

TEST_CASE("what is no reference among names is none") {
    CHECK_FALSE(route::find_reference("B6160 car park", false));
    CHECK_FALSE(route::find_reference("Bridge 42", false));
    CHECK_FALSE(route::find_reference("Point 341 m", false));
    CHECK_FALSE(route::find_reference("Grange Farm", false));
    CHECK(route::find_reference("GR 914113", true)->digits == "914113");
    CHECK(route::find_reference("GR 914113", true)->letters == "");
    CHECK(route::find_reference("30U XC 644 394", true)->letters == "30UXC");
}

TEST_CASE("grids of other lands") {
    const route::Card irish = read("From;To;Distance km;Time min\nGreen O 159 346;Tarn O 162 350;1;20\n");
    CHECK(irish.grid == geo::GridSystem::irish);
    REQUIRE(irish.legs[0].from.square);
    const route::Card utm =
        read("From;To;Distance km;Time min\nGreen 31V DC 644 394;Tarn 31VDC650400;1;20\n");
    CHECK(utm.grid == geo::GridSystem::utm);
    REQUIRE(utm.legs[0].to.square);
}

TEST_CASE("lengths, times, clocks, directions, dates") {
    const auto metres = [](const char* text, const char* unit) {
        const auto length = route::read_length(text, unit);
        return length ? length->metres : -1;
    };
    CHECK(metres("3,4", "km") == doctest::Approx(3400));
    CHECK(metres("3.45 km", "m") == doctest::Approx(3450));
    CHECK(metres("1200", "m") == 1200);
    CHECK(metres("300 ft", "") == doctest::Approx(91.44)); // 0.3048 m, agreement of 1959
    CHECK(metres("3.4", "") == -1);
    CHECK(metres("1,200,5", "m") == -1);
    CHECK(metres("far", "km") == -1);
    CHECK(route::read_length("3.45 km", "")->step_m == doctest::Approx(10));
    CHECK(route::read_length("3 km", "")->step_m == doctest::Approx(1000));
    CHECK(route::read_length("1200", "m")->step_m == doctest::Approx(100));

    CHECK(route::read_minutes("80", "min") == 80);
    CHECK(route::read_minutes("1.5", "h") == 90);
    CHECK(route::read_minutes("1 hr 20 mins", "min") == 80);
    CHECK(route::read_minutes("1h", "min") == 60);
    CHECK(route::read_minutes("01:20:00", "min") == 80);
    CHECK(route::read_minutes("1:20", "h") == 80);
    CHECK_FALSE(route::read_minutes("1:75", "min"));
    CHECK_FALSE(route::read_minutes("soon", "min"));
    CHECK_FALSE(route::read_minutes("80", ""));

    CHECK(route::read_clock("0930") == 9h + 30min);
    CHECK(route::read_clock("9.30 pm") == 21h + 30min);
    CHECK(route::read_clock("12:10 am") == 10min);
    CHECK(route::read_clock("noon") == 12h);
    CHECK_FALSE(route::read_clock("25:00"));
    CHECK_FALSE(route::read_clock("9"));
    CHECK_FALSE(route::read_clock("09:75"));

    const auto bearing = [](const char* text) {
        const auto direction = route::read_direction(text);
        return direction ? direction->degrees : -1;
    };
    CHECK(bearing("045") == 45);
    CHECK(bearing("045\xC2\xB0 mag") == 45);
    CHECK(route::read_direction("045\xC2\xB0 mag")->magnetic);
    CHECK(route::read_direction("45M")->magnetic);
    CHECK_FALSE(route::read_direction("45")->magnetic);
    CHECK(bearing("360") == 0);
    CHECK(bearing("NE (045)") == 45);
    CHECK(bearing("north-west") == 315);
    CHECK(bearing("WSW") == 247.5);
    CHECK(bearing("370") == -1);
    CHECK(bearing("800 mils") == -1);
    CHECK(bearing("uphill") == -1);

    CHECK(route::read_date("15/05/2027")->iso == "2027-05-15");
    CHECK_FALSE(route::read_date("15/05/2027")->day_first);
    CHECK(route::read_date("4.5.27")->day_first);
    CHECK(route::read_date("Sat 15th May 2027")->iso == "2027-05-15");
    CHECK_FALSE(route::read_date("05/15/2027"));
}

TEST_CASE("figures without a unit are read only where there is no doubt") {
    const route::Card km = read("From;To;Distance;Time\nGreen OM 595 068;Tarn OM 606 091;2.7;45\n");
    CHECK(km.legs[0].distance_m == 2700);
    CHECK(km.legs[0].travel_min == 45);
    CHECK(holds(remarks(km), "\"Distance\" names no unit; its figures are read as km"));
    CHECK(holds(remarks(km), "\"Time\" names no unit; its figures are read as minutes"));
    const route::Card small =
        read("From;To;Distance (m);Time (min)\nGreen OM 595 068;Tarn OM 606 091;2.7;45\n");
    CHECK_FALSE(small.legs[0].distance_m);
    CHECK(holds(remarks(small), "too small for metres"));
}

TEST_CASE("what is not understood is told, nothing is guessed") {
    const route::Card card = read("Date;soon\n" + k_titles +
                                  "1;Green;OM 595 068;Tarn;OM 606 091;up;far;steep;long\n"
                                  "2;;;Camp;;;;;\nSigned by;;;;;;;;\n");
    const std::string told = remarks(card);
    CHECK(holds(told, "1: the date \"soon\" was not understood"));
    CHECK(holds(told, "3: the direction \"up\""));
    CHECK(holds(told, "3: the distance \"far\""));
    CHECK(holds(told, "3: the climb \"steep\""));
    CHECK(holds(told, "3: the travel time \"long\""));
    CHECK(holds(told, "5: this row names no place"));
    REQUIRE(card.legs.size() == 2);
    CHECK(card.legs[1].from.name == "Tarn"); // where the leg before ended
    CHECK_FALSE(card.legs[0].distance_m);
    CHECK(card.legs[0].direction_text == "up");
}

TEST_CASE("a card that cannot be used is refused in one line") {
    CHECK(refusal("") == "card.csv: is empty; save the card as CSV again");
    CHECK(refusal("PK\x03\x04rest") ==
          "card.csv: is a spreadsheet's own file, not CSV; save the card as CSV");
    CHECK(holds(refusal("hello\n"), "card.csv:1: no table of legs"));
    CHECK(holds(refusal("sep=;\n"), "card.csv: has no row")); // of an empty sheet; found by fuzzing
    CHECK(holds(refusal(k_titles), "card.csv:1: no leg below these titles"));
    CHECK(holds(refusal("Team;x\n" + k_titles + "1;Green;OM 595 068;;;26;2;0;4\n"), "card.csv:2: no leg"));
    std::string endless = k_titles;
    for (int i = 0; i < 301; ++i)
        endless += "1;Green;OM 595 068;Tarn;OM 606 091;26;2;0;4\n";
    CHECK(holds(refusal(endless), "card.csv:302: holds more than 300 legs"));
    CHECK(refusal("<html>") != "read");
    CHECK(holds(refusal(std::string("From;To;km\nA;B;1\0;\n", 20)), "zero byte"));
    CHECK_THROWS_AS(route::read_card_file("/nowhere/card.csv"), DataError);
}

TEST_CASE("cut or broken cards never crash") {
    std::ifstream in(std::string(WAYWARDEN_FIXTURES) + "/../docs/route-card-template.csv");
    std::ostringstream all;
    all << in.rdbuf();
    const std::string text = all.str();
    for (std::size_t length = 0; length < text.size(); length += 3) {
        try {
            const route::Card cut = read(text.substr(0, length));
            CHECK_FALSE(cut.legs.empty());
        } catch (const DataError&) {
        }
        try {
            std::string hurt = text;
            hurt[length] = static_cast<char>(0x80 + length % 120);
            read(hurt);
        } catch (const DataError&) {
        }
    }
}
