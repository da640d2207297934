#include "route/read.hpp"

#include "error.hpp"
#include "route/formats.hpp"
#include "route/text.hpp"

#include <fmt/format.h>
#include <pugixml.hpp>

#include <filesystem>
#include <fstream>
#include <iostream>

namespace waywarden::route {

namespace {

constexpr std::uintmax_t k_largest_bytes = 512u << 20;

[[noreturn]] void refuse_too_large(const std::string& path) {
    refuse({path, 0}, "is larger than 512 MiB", "this is no planned route");
}

std::string slurp(std::istream& in, const std::string& path) {
    std::string bytes;
    char block[1 << 16];
    while (in.read(block, sizeof block) || in.gcount() > 0) {
        bytes.append(block, static_cast<std::size_t>(in.gcount()));
        if (bytes.size() > k_largest_bytes) refuse_too_large(path);
    }
    if (in.bad()) refuse({path, 0}, "could not be read to its end", "check the disk and the permissions");
    return bytes;
}

/// Local name of the first element of an XML text, without parsing it.
std::string root_name(std::string_view text) {
    for (std::size_t at = 0; (at = text.find('<', at)) != std::string_view::npos; ++at) {
        if (at + 1 >= text.size()) break;
        const char next = text[at + 1];
        if (next == '!' && text.substr(at, 4) == "<!--") {
            at = text.find("-->", at);
            if (at == std::string_view::npos) break;
            continue;
        }
        if (next == '?' || next == '!') continue;
        const std::size_t end = text.find_first_of(" \t\r\n/>", at + 1);
        std::string_view name = text.substr(at + 1, end == std::string_view::npos ? end : end - at - 1);
        if (const std::size_t colon = name.rfind(':'); colon != std::string_view::npos)
            name.remove_prefix(colon + 1);
        return std::string(name);
    }
    return "";
}

/// A KMZ, or a file that came packed.
void refuse_packed(std::string_view text, const std::string& path) {
    if (text.substr(0, 4) == "PK\x03\x04" || text.substr(0, 2) == "\x1F\x8B")
        refuse({path, 0}, "is no route but a packed file",
               "unpack it and name the GPX, KML or GeoJSON file in it");
}

/// The XML parser takes one for the end of the file.
void refuse_zero_bytes(const std::string& text, const std::string& path) {
    if (const std::size_t at = text.find('\0'); at != std::string::npos)
        refuse({path, Lines(text).line_of(at)}, "holds a zero byte: the file is damaged",
               "export the route again");
}

} // namespace

Route read_text(std::string_view bytes, const std::string& path) {
    const std::string text = to_utf8(bytes);
    const std::size_t first = text.find_first_not_of(" \t\r\n");
    if (first == std::string::npos) refuse({path, 0}, "is empty", "export the route again");
    refuse_packed(text, path);
    Route route;
    if (text[first] == '{' || text[first] == '[') {
        route = read_geojson(text, path);
    } else {
        const std::string root = text[first] == '<' ? root_name(text) : "";
        if (root == "gpx" || root == "kml") refuse_zero_bytes(text, path);
        if (root == "gpx")
            route = read_gpx(text, path);
        else if (root == "kml")
            route = read_kml(text, path);
        else
            refuse({path, 1}, "is no route: neither GPX, GeoJSON nor KML",
                   "export it from the planning tool as GPX");
    }
    route.path = path;
    route.name = clean_name(route.name);
    for (Waypoint& waypoint : route.waypoints)
        waypoint.name = clean_name(waypoint.name);
    if (route.name.empty()) route.name = path == "-" ? "route" : std::filesystem::path(path).stem().string();
    route.name = clean_name(route.name);
    find_oddities(route);
    return route;
}

Route read_file(const std::string& path) {
    if (path == "-") return read_text(slurp(std::cin, path), path);
    std::error_code error;
    const auto status = std::filesystem::status(path, error);
    if (!std::filesystem::exists(status)) refuse({path, 0}, "no such file", "check the path");
    if (std::filesystem::is_directory(status))
        refuse({path, 0}, "is a folder, not a route", "name a route file in it");
    if (std::filesystem::is_regular_file(status) &&
        std::filesystem::file_size(path, error) > k_largest_bytes && !error)
        refuse_too_large(path);
    std::ifstream in(path, std::ios::binary);
    if (!in) refuse({path, 0}, "cannot be opened", "check the permissions");
    return read_text(slurp(in, path), path);
}

} // namespace waywarden::route
