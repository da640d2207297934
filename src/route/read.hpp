#pragma once

#include "route/route.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace waywarden::route {

/// Reads every route of a file, "-" for standard input; the format is told from the content, not the name.
/// Throws DataError with the file, the line where known, what is wrong and what to do.
Route read_file(const std::string& path);

/// The same from memory; `path` is only used in messages.
Route read_text(std::string_view bytes, const std::string& path);

} // namespace waywarden::route
