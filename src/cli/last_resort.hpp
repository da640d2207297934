#pragma once

namespace waywarden::cli {

/// From now on the program ends in one line on standard error and exit code 2 where it could not go on in
/// order: there is no memory for what it asks for, or an error leaves a place that must not have one.
///
/// A failed request for memory ends the program where it happens instead of as std::bad_alloc: libosmium's
/// builders write through their buffer in their destructors, also while the error that left it too small
/// passes by (libosmium 2.19), so that the exception would lead to a crash. A draft of a prepared map is
/// removed by std::at_quick_exit.
void end_in_words();

} // namespace waywarden::cli
