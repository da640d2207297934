#pragma once

#include <string>

namespace waywarden::cli {

/// The program's version on the first line, those of the libraries it runs with on the second.
std::string version_words();

} // namespace waywarden::cli
