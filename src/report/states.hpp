#pragma once

#include "assess.hpp"

#include <string>

namespace waywarden::report {

/// "Since the result compared with: 2 findings are new, 11 unchanged, 1 is no longer found." and how many
/// were accepted, or were before and no longer are; "" where nothing was compared nor accepted.
std::string states_words(const Assessed& route);

} // namespace waywarden::report
