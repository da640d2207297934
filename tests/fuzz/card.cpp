// Route cards: the spreadsheet's CSV and every value in it.
#include "fuzz/fuzz.hpp"
#include "route/card_read.hpp"

#include <cmath>

namespace waywarden::fuzz {

void target(std::string_view bytes) {
    const route::Card card = route::read_card(bytes, "fuzzed");
    must(!card.legs.empty(), "a card without a leg");
    for (const route::CardLeg& leg : card.legs) {
        for (const auto& number : {leg.distance_m, leg.ascent_m, leg.descent_m, leg.travel_min, leg.rest_min})
            must(!number || std::isfinite(*number), "a figure that is no number");
        must(!leg.direction_deg || (*leg.direction_deg >= 0 && *leg.direction_deg <= 360),
             "a direction off the rose");
        for (const auto* place : {&leg.from, &leg.to})
            if (place->square)
                must(std::abs(place->square->middle.lat_deg) <= 90, "a reference off the globe");
    }
    for (const route::CardRemark& remark : card.remarks)
        must_be_one_line(remark.text);
}

} // namespace waywarden::fuzz
