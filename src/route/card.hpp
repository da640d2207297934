#pragma once

#include "geo/grid_reference.hpp"
#include "geo/zoned_time.hpp"

#include <chrono>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

/// A route card: the table a team hands in, leg by leg. What its columns mean and which ways of writing them
/// are understood is in docs/route-cards.md.
namespace waywarden::route {

/// One end of a leg as the team wrote it.
struct CardPlace {
    std::string name;      ///< "" where only a reference was written
    std::string reference; ///< as written, "" where there is none
    /// The square it names, on the grid the card is read with; none where there is no reference or it cannot
    /// be read (which is then in Card::remarks).
    std::optional<geo::GridSquare> square;
    int figures = 0; ///< of the reference: 4 to 10, 0 where it cannot be read
    bool letters_assumed =
        false; ///< written without the letters of its 100 km square, which were taken from elsewhere
};

/// One row. What the card leaves empty is absent.
struct CardLeg {
    std::string label; ///< as the card numbers it: "1", "A"; "" where it does not
    CardPlace from, to;
    std::string direction_text;          ///< as written: "045", "NE", "45° mag"
    std::optional<double> direction_deg; ///< clockwise from grid north, unless `direction_magnetic`
    double direction_step_deg = 1;       ///< how finely it was written: 1, or 22.5 and 45 for compass points
    bool direction_magnetic = false;
    std::optional<double> distance_m;
    double distance_step_m = 100; ///< how finely it was written
    std::optional<double> ascent_m, descent_m;
    std::optional<double> travel_min, rest_min, total_min;
    std::optional<std::chrono::seconds> depart, arrive; ///< by the clock, from midnight
    std::string escape, notes;
    std::size_t source_line = 0;
};

/// What the card's own text gives to say: a column not understood, a reference that cannot be read.
struct CardRemark {
    std::size_t source_line = 0;
    std::string text; ///< one sentence: what, and what was done about it
};

struct Card {
    std::string path; ///< as given on the command line
    std::string team, day;
    geo::GridSystem grid = geo::GridSystem::british; ///< its references are on
    std::optional<geo::WrittenTime> date_start;      ///< date, with the clock where the card gives a start
    std::optional<std::chrono::seconds> start_clock; ///< the head's start time, also where there is no date
    std::vector<CardLeg> legs;                       ///< never empty
    CardPlace start;                                 ///< as the head names it; empty where it does not
    /// As the card's last row sums them up.
    std::optional<double> total_distance_m, total_ascent_m, total_travel_min, total_rest_min, total_min;
    double total_distance_step_m = 100;
    std::size_t total_line = 0; ///< 0: the card has no such row
    std::vector<CardRemark> remarks;
};

} // namespace waywarden::route
