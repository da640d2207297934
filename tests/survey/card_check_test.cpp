#include "route/card_read.hpp"
#include "survey/card_check.hpp"

#include <doctest/doctest.h>

// What a team gets wrong on a card, on a line so plain that every figure can be told by looking: due east
// along the grid for 6 km from OM 600 070. Expected values follow from the grid itself, 1 km a number.

namespace {

using namespace waywarden;
using survey::ReferenceFault;

constexpr double k_east_m = 660'000, k_north_m = 707'050; ///< the south-west corner of OM is 600, 700 km

geo::Position on_grid(double east_m, double north_m) {
    return geo::position_on_grid(east_m, north_m, geo::GridSystem::british);
}

route::Route due_east() {
    route::Route route;
    auto& points = route.segments.emplace_back().points;
    for (int i = 0; i <= 60; ++i)
        points.push_back({on_grid(k_east_m + 50 + i * 100, k_north_m), {}, 0});
    return route;
}

struct Row {
    std::string from, to, bearing = "090", km = "2.0", travel = "40", rest = "0", total = "40", arrive,
                          escape = "road";
};

std::string card_text(const std::vector<Row>& rows, const std::string& totals = "") {
    std::string out = "Start time;09:00\nLeg;From;GR;To;GR;Bearing;Distance km;Time min;Rest min;Total time "
                      "min;ETA;Escape\n";
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const Row& row = rows[i];
        out += std::to_string(i + 1) + ";P" + std::to_string(i) + ";" + row.from + ";P" +
               std::to_string(i + 1) + ";" + row.to + ";" + row.bearing + ";" + row.km + ";" + row.travel +
               ";" + row.rest + ";" + row.total + ";" + row.arrive + ";" + row.escape + "\n";
    }
    return out + totals;
}

std::vector<Row> clean_rows() {
    std::vector<Row> rows(3);
    rows[0].from = "OM 600 070";
    rows[0].to = rows[1].from = "OM 620 070";
    rows[1].to = rows[2].from = "OM 640 070";
    rows[2].to = "OM 660 070";
    rows[0].arrive = "09:40";
    rows[1].arrive = "10:20";
    rows[2].arrive = "11:00";
    return rows;
}

struct Checked {
    survey::Survey survey;
    survey::CheckedCard card;
    const survey::Facts& leg(std::size_t i) const {
        return survey.legs.legs[card.table_leg[i].value()].facts;
    }
};

Checked check(const std::string& text, const map::Ground& ground = {}) {
    Checked out;
    const route::Route route = due_east();
    out.survey.length_m = route::metres_along(route).back().back();
    survey::LegBasis basis;
    basis.grid = geo::GridSystem::british;
    basis.date = std::chrono::year_month_day(std::chrono::year(2027), std::chrono::May, std::chrono::day(15));
    out.card = survey::check_card(route::read_card(text, "card.csv"), route, ground, basis, out.survey);
    return out;
}

/// The card with the place between legs 1 and 2 written otherwise.
Checked with_reference(const std::string& reference, const map::Ground& ground = {}) {
    std::vector<Row> rows = clean_rows();
    rows[0].to = rows[1].from = reference;
    return check(card_text(rows), ground);
}

/// The sea north of OM 60 075: the coastline has the land on its left.
map::Ground coast() {
    map::Ground ground;
    ground.nodes = {{1, on_grid(k_east_m + 10'000, k_north_m + 500)},
                    {2, on_grid(k_east_m - 10'000, k_north_m + 500)}};
    map::Way& way = ground.ways.emplace_back();
    way.object.tags = map::Tags(std::vector<std::pair<std::string, std::string>>{{"natural", "coastline"}});
    way.nodes = {0, 1};
    return ground;
}

} // namespace

TEST_CASE("a card that is right") {
    const Checked checked = check(card_text(clean_rows()));
    REQUIRE(checked.survey.legs.legs.size() == 3);
    CHECK(checked.survey.legs.checkpoints_from == "the card");
    for (std::size_t i = 0; i < 3; ++i) {
        CAPTURE(i);
        const survey::Facts& facts = checked.leg(i);
        CHECK(facts.text("card_to_reference") == "none");
        CHECK(*facts.number("card_distance_off_pct") < 1);
        CHECK(*facts.number("card_distance_beyond_m") == 0);
        CHECK(*facts.number("card_bearing_off_deg") < 0.5);
        CHECK(*facts.flag("card_bearing_reversed") == false);
        CHECK(*facts.number("card_clock_off_min") == 0);
        CHECK(*facts.number("card_leg_sum_off_min") == 0);
        CHECK(*facts.flag("card_escape_given"));
        CHECK(*facts.flag("card_begins_elsewhere") == false);
        CHECK_FALSE(facts.get("card_reference_detail"));
    }
    CHECK(checked.leg(0).text("card_from_reference") == "none");
    CHECK_FALSE(checked.leg(1).get("card_from_reference")); // told where leg 1 ends
}

TEST_CASE("references that are not on the line, and what was meant") {
    const auto fault = [](const Checked& checked) { return checked.card.places.ends[1].fault; };
    const auto meant = [](const Checked& checked) { return checked.card.places.ends[1].meant; };

    const Checked swapped = with_reference("OM 070 620");
    CHECK(fault(swapped) == ReferenceFault::swapped);
    CHECK(meant(swapped) == "OM 620 070");
    CHECK(*swapped.leg(0).number("card_distance_off_pct") < 1); // the legs go by what was meant
    CHECK(swapped.leg(0).text("card_reference_detail").find("easting and northing exchanged") !=
          std::string::npos);

    const Checked transposed = with_reference("OM 620 700");
    CHECK(fault(transposed) == ReferenceFault::transposed);
    CHECK(meant(transposed) == "OM 620 070");

    const Checked square = with_reference("OL 620 070");
    CHECK(fault(square) == ReferenceFault::wrong_square);
    CHECK(meant(square) == "OM 620 070");
    CHECK(*square.card.places.ends[1].off_m == doctest::Approx(100'000 - 2'000).epsilon(0.01));

    const Checked off = with_reference("OM 620 080");
    CHECK(fault(off) == ReferenceFault::off_line);
    CHECK(*off.card.places.ends[1].off_m == doctest::Approx(1000).epsilon(0.01)); // ten squares of 100 m
    CHECK_FALSE(off.leg(0).get("card_distance_off_pct"));                       // nothing to hold it against
    CHECK(off.card.places.ends[1].at_m == doctest::Approx(2000).epsilon(0.01)); // between its neighbours

    CHECK(fault(with_reference("OM 650 070")) == ReferenceFault::out_of_order);
    CHECK(fault(with_reference("OM 62 070")) == ReferenceFault::not_readable);
    CHECK(fault(with_reference("")) == ReferenceFault::not_given);
    CHECK(fault(with_reference("OM 620 080", coast())) == ReferenceFault::in_sea);
    CHECK(fault(with_reference("OM 620 079")) == ReferenceFault::off_line);
    // As near as one plots by eye.
    CHECK(fault(with_reference("OM 620 071")) == ReferenceFault::none);
    CHECK(fault(with_reference("OM 6205 0705")) == ReferenceFault::none);
}

TEST_CASE("distances") {
    const auto with_km = [](const std::string& km) {
        std::vector<Row> rows = clean_rows();
        rows[1].km = km;
        return check(card_text(rows));
    };
    CHECK(*with_km("2.5").leg(1).number("card_distance_off_pct") == doctest::Approx(25).epsilon(0.02));
    CHECK(*with_km("2.5").leg(1).number("card_distance_beyond_m") ==
          doctest::Approx(500 - 50 - 50 - 100).epsilon(0.05));
    CHECK(*with_km("2.1").leg(1).number("card_distance_beyond_m") == doctest::Approx(0));
    CHECK_FALSE(with_km("").leg(1).get("card_distance_m"));
}

TEST_CASE("bearings") {
    const auto with_bearing = [](const std::string& bearing) {
        std::vector<Row> rows = clean_rows();
        rows[1].bearing = bearing;
        return check(card_text(rows));
    };
    CHECK(*with_bearing("135").leg(1).number("card_bearing_off_deg") == doctest::Approx(45).epsilon(0.02));
    CHECK(*with_bearing("100").leg(1).number("card_bearing_beyond_deg") < 10);
    CHECK(*with_bearing("270").leg(1).flag("card_bearing_reversed"));
    CHECK(*with_bearing("W").leg(1).flag("card_bearing_reversed"));
    CHECK(*with_bearing("NE").leg(1).number("card_bearing_beyond_deg") < 20); // half a point of eight let off
    CHECK(*with_bearing("NNE").leg(1).number("card_bearing_beyond_deg") > 50);
    CHECK_FALSE(with_bearing("").leg(1).get("card_bearing_deg"));
    // Grid = magnetic + grid magnetic angle: the difference is the angle itself.
    const Checked magnetic = with_bearing("090 mag");
    const survey::Leg& leg = magnetic.survey.legs.legs[1];
    REQUIRE(leg.grid_magnetic_angle_deg);
    CHECK(*magnetic.leg(1).number("card_bearing_off_deg") ==
          doctest::Approx(std::abs(*leg.grid_magnetic_angle_deg)).epsilon(0.1));
}

TEST_CASE("sums and clocks") {
    std::vector<Row> rows = clean_rows();
    rows[1].total = "50";
    rows[2].arrive = "11:30";
    const Checked checked = check(card_text(rows, "Total;;;;;;7.0;120;0;150;;\n"));
    CHECK(*checked.leg(1).number("card_leg_sum_off_min") == 10);
    CHECK(*checked.leg(1).number("card_clock_off_min") == 10);
    CHECK(*checked.leg(2).number("card_clock_off_min") == 30);
    CHECK(*checked.survey.route_facts.number("card_total_distance_off_m") == doctest::Approx(1000));
    CHECK(*checked.survey.route_facts.number("card_total_travel_off_min") == 0);
    CHECK(*checked.survey.route_facts.number("card_total_time_off_min") == 20);
}

TEST_CASE("legs that do not join, and a card for a part of the walk") {
    std::vector<Row> rows = clean_rows();
    rows.erase(rows.begin());
    rows[1].from = "OM 645 070";
    std::string text = card_text(rows);
    const Checked checked = check(text);
    REQUIRE(checked.survey.legs.legs.size() == 4); // up to the card, two legs, the piece on nobody's card
    CHECK(*checked.leg(1).flag("card_begins_elsewhere"));
    CHECK(*checked.leg(0).flag("card_begins_elsewhere") == false);
    CHECK_FALSE(checked.survey.legs.legs[0].facts.get("card_escape_given"));
    CHECK(checked.survey.legs.legs.back().to.at_m == doctest::Approx(checked.survey.length_m));
}

TEST_CASE("what could not be held against anything is said") {
    const Checked checked = check(card_text(clean_rows()));
    bool told = false;
    for (const std::string& one : checked.survey.not_seen)
        told = told || one.find("walking times were not checked") != std::string::npos;
    CHECK(told);
}

TEST_CASE("where no heights are known the card's climbs stand, and are not held against themselves") {
    const route::Route route = due_east();
    survey::Survey walk;
    walk.length_m = route::metres_along(route).back().back();
    survey::LegBasis basis;
    basis.grid = geo::GridSystem::british;
    basis.effort = survey::Effort{survey::TimeMethod::naismith};
    const std::string text = "Leg;From;To;Distance km;Climb m;Time min\n"
                             "1;OM 600 070;OM 630 070;3.0;100;40\n2;OM 630 070;OM 660 070;3.0;;40\n";
    survey::check_card(route::read_card(text, "card.csv"), route, {}, basis, walk);
    REQUIRE(walk.legs.legs.size() == 2);
    const survey::Leg& first = walk.legs.legs[0];
    CHECK(first.climb_is_told);
    CHECK(first.ascent_m == 100);
    CHECK_FALSE(first.descent_m);
    // Naismith: 12 min/km and 10 min for 100 m; the leg is 3 km less what the start lies inside its square.
    CHECK(*first.walking_min == doctest::Approx(12 * first.length_m / 1000 + 10).epsilon(1e-9));
    CHECK_FALSE(first.facts.get("card_ascent_off_m"));
    CHECK_FALSE(walk.legs.legs[1].ascent_m);
    CHECK_FALSE(walk.legs.legs[1].walking_min);
    CHECK(walk.legs.heights_from == "as the card tells it");
}
