#pragma once

#include <functional>
#include <iosfwd>
#include <string>
#include <vector>

/// Files of a run that was given a folder to write to.
namespace waywarden::report {

/// A file name for each route, without its ending: that of the route file, made safe (it never leaves the
/// folder), and unlike every other also where case is not told apart. `reserved` names are not given out.
/// `-` (standard input) becomes `stdin`.
std::vector<std::string> stems(const std::vector<std::string>& route_paths,
                               const std::vector<std::string>& reserved = {});

/// Writes a file whole or not at all: to a temporary name in the same folder, flushed to the disk, then
/// renamed. On failure the old file, if there was one, stays as it was. Throws DataError.
void write_whole(const std::string& path, const std::function<void(std::ostream&)>& write);

} // namespace waywarden::report
