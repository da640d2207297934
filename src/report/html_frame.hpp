#pragma once

#include "assess.hpp"

#include <string>

/// What every page of the program begins and ends with.
namespace waywarden::report {

std::string page_head(const std::string& title, const std::string& style, bool scripted);
std::string page_end(bool scripted);

std::string file_name(const std::string& path); ///< its last part, as text of a page
std::string origin_section(const Assessment& assessment);
std::string not_read_list(const Assessment& assessment); ///< "" where all were read

} // namespace waywarden::report
