// Route cards: the spreadsheet's CSV and every value in it. A mark of the byte order in front, or the line
// ends of another system, change nothing.
#include "fuzz/fuzz.hpp"
#include "route/card_read.hpp"

#include <algorithm>
#include <cmath>

namespace waywarden::fuzz {

namespace {

void check(const route::Card& card) {
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

void must_be_same(const route::Card& card, const std::string& text) {
    const route::Card again = must_read([&] { return route::read_card(text, "again"); },
                                        "a card written another way cannot be read:");
    must(again.legs.size() == card.legs.size(), "a card written another way has other legs:", text);
    for (std::size_t i = 0; i < card.legs.size(); ++i) {
        const route::CardLeg &a = card.legs[i], &b = again.legs[i];
        must(a.from.reference == b.from.reference && a.to.reference == b.to.reference && a.notes == b.notes &&
                 a.direction_deg == b.direction_deg && a.distance_m == b.distance_m &&
                 a.ascent_m == b.ascent_m && a.travel_min == b.travel_min && a.arrive == b.arrive,
             "a card written another way is read otherwise:", text);
    }
}

} // namespace

void target(std::string_view bytes) {
    const route::Card card = route::read_card(bytes, "fuzzed");
    check(card);
    // Bytes beyond ASCII say in which encoding the file is, as does the mark.
    if (std::any_of(bytes.begin(), bytes.end(), [](char c) { return c < 0; })) return;
    const std::size_t lot = std::hash<std::string_view>()(bytes) % 4; // by the bytes: a find can be run again
    if (lot == 0) must_be_same(card, "\xEF\xBB\xBF" + std::string(bytes));
    if (lot != 1 || bytes.find_first_of("\"\r") != std::string_view::npos) return;
    std::string lines;
    for (const char c : bytes)
        lines += c == '\n' ? std::string("\r\n") : std::string(1, c);
    must_be_same(card, lines);
}

} // namespace waywarden::fuzz
