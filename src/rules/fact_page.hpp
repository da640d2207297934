#pragma once

#include <string>

namespace waywarden::rules {

/// The text of docs/facts.md, made from the table of facts and the values of parties and regions.
std::string fact_page();

} // namespace waywarden::rules
