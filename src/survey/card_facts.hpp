#pragma once

#include "route/card.hpp"
#include "survey/card_places.hpp"
#include "survey/legs.hpp"

/// The facts of a card leg and of the card as a whole, for rules. They stand in the table of facts.
namespace waywarden::survey {

/// Of the leg between two ends of the card. `shared`: the leg begins where the one before it ended.
void set_card_figures(const route::CardLeg& given, const CardEnd& from, const CardEnd& to, Leg& leg);

/// What is wrong with the references of the leg's ends. Of `from` only where it is no end of the leg before.
void set_card_references(const CardEnd& from, const CardEnd& to, bool from_is_new, Leg& leg);

/// The sums of each row and the clock from row to row.
void set_card_clock(const route::Card& card, std::size_t index, Leg& leg);

/// The sums of the last row against those above it.
void set_card_totals(const route::Card& card, Facts& route_facts);

} // namespace waywarden::survey
