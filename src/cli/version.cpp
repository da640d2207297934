#include "cli/version.hpp"

#include <CLI/CLI.hpp>
#include <GeographicLib/Config.h>
#include <fmt/format.h>
#include <geos_c.h>
#include <nlohmann/json.hpp>
#include <osmium/version.hpp>
#include <pugixml.hpp>

namespace waywarden::cli {

std::string version_words() {
    return fmt::format("waywarden {}\n"
                       "libosmium {}, GEOS {}, GeographicLib {}, nlohmann-json {}.{}.{}, pugixml {}.{}, "
                       "CLI11 {}, fmt {}.{}.{}",
                       WAYWARDEN_VERSION, LIBOSMIUM_VERSION_STRING, GEOSversion(),
                       GEOGRAPHICLIB_VERSION_STRING, NLOHMANN_JSON_VERSION_MAJOR, NLOHMANN_JSON_VERSION_MINOR,
                       NLOHMANN_JSON_VERSION_PATCH, PUGIXML_VERSION / 1000, PUGIXML_VERSION % 1000 / 10,
                       CLI11_VERSION, FMT_VERSION / 10000, FMT_VERSION / 100 % 100, FMT_VERSION % 100);
}

} // namespace waywarden::cli
