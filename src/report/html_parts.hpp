#pragma once

/// What src/report/page/ holds, put into the program when it is built.
namespace waywarden::report {

extern const char* const k_page_style;  ///< page.css
extern const char* const k_page_script; ///< map.js

} // namespace waywarden::report
