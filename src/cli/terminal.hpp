#pragma once

#include <functional>
#include <string>

/// What the run knows of the terminal it talks to.
namespace waywarden::cli {

/// Whether standard output may be coloured: a terminal that can, and NO_COLOR is not set (no-color.org).
bool colour_wanted();

/// Tells how far a long run is on standard error; empty where that is no terminal. Says nothing in the first
/// second. Takes calls from several threads; wipes its line when the last copy goes.
std::function<void(const std::string& what, double share_done)> progress_line();

} // namespace waywarden::cli
