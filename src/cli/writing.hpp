#pragma once

#include "assess.hpp"

#include <string>
#include <vector>

/// From an assessment to standard output or to the files of a folder.
namespace waywarden::cli {

/// Words that --format knows.
std::vector<std::string> format_names();

/// Throws ArgumentError for a format there is none of, or one given twice.
void check_formats(const std::vector<std::string>& formats);

/// The files that a run over these routes writes to the folder, in the order of formats and routes.
/// Throws ArgumentError where one of them is among `inputs`.
void check_targets(const std::vector<std::string>& routes, const std::vector<std::string>& formats,
                   const std::string& folder, const std::vector<std::string>& inputs);

void write_to_stdout(const Assessment& assessment, const std::string& format);

/// Makes the folder of --out where it is not there. Throws DataError.
void make_folder(const std::string& folder);

/// STEM.EXT for each route, and summary.EXT for several. `routes` are the files asked for, whether they could
/// be read or not. Gives the paths of the files written. Throws DataError.
std::vector<std::string> write_to_folder(const Assessment& assessment, const std::vector<std::string>& routes,
                                         const std::vector<std::string>& formats, const std::string& folder);

} // namespace waywarden::cli
