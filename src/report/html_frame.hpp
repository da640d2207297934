#pragma once

#include "assess.hpp"

#include <string>

/// What every page of the program begins and ends with.
namespace waywarden::report {

/// The page may load nothing at all; only the style and the script given (or none) may run, told by hash.
std::string page_head(const std::string& title, const std::string& style, const char* script);
std::string page_end(const Assessment& assessment, const char* script);

std::string file_name(const std::string& path); ///< its last part, as text of a page
std::string origin_section(const Assessment& assessment);
/// The routes, the worst first, each a link to its page where `stems` has the names of those, without ending,
/// in the order of the assessment.
std::string routes_table(const Assessment& assessment, const std::vector<std::string>& stems = {});
std::string not_read_list(const Assessment& assessment); ///< "" where all were read

} // namespace waywarden::report
