#pragma once

#include <map>
#include <string>
#include <string_view>

/// Where things stand in a text of JSON. Gone over only where something has to be told of it.
namespace waywarden::rules {

/// The line of a byte, from 1.
std::size_t line_at(std::string_view text, std::size_t byte);

/// The key as it stands in a JSON pointer (RFC 6901).
std::string escaped(std::string_view key);

/// Throws DataError (path, line) where the text is nested deeper than that.
void check_depth(std::string_view text, const std::string& path, int deepest);

/// The line of each value by its JSON pointer. The text must be JSON. Throws DataError (path, line) where an
/// object has one key twice.
std::map<std::string, std::size_t> lines_of(std::string_view text, const std::string& path);

} // namespace waywarden::rules
