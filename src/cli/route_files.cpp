#include "cli/route_files.hpp"

#include "error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace waywarden::cli {

namespace fs = std::filesystem;

namespace {

bool is_route_file(const fs::path& path) {
    std::string ending = path.extension().string();
    std::transform(ending.begin(), ending.end(), ending.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    return ending == ".gpx" || ending == ".geojson" || ending == ".kml";
}

std::vector<std::string> in_folder(const std::string& folder, std::vector<std::string>& left_out) {
    std::vector<std::string> found, others;
    try {
        for (const fs::directory_entry& entry : fs::recursive_directory_iterator(folder)) {
            if (entry.is_directory()) continue;
            (is_route_file(entry.path()) ? found : others).push_back(entry.path().string());
        }
    } catch (const fs::filesystem_error& e) {
        throw ArgumentError(fmt::format("{}: the folder cannot be read ({}); check its permissions", folder,
                                        e.code().message()));
    }
    if (found.empty())
        throw ArgumentError(fmt::format(
            "{}: the folder holds no route file (.gpx, .geojson or .kml); name the files", folder));
    std::sort(found.begin(), found.end());
    std::sort(others.begin(), others.end());
    left_out.insert(left_out.end(), others.begin(), others.end());
    return found;
}

} // namespace

std::vector<std::string> route_files(const std::vector<std::string>& given,
                                     std::vector<std::string>& left_out) {
    std::vector<std::string> out;
    for (const std::string& path : given) {
        std::error_code failed;
        const bool folder = fs::is_directory(path, failed);
        const auto files = folder ? in_folder(path, left_out) : std::vector<std::string>{path};
        for (const std::string& file : files) {
            if (std::find(out.begin(), out.end(), file) != out.end())
                throw ArgumentError(fmt::format("{}: the route is given twice; name it once", file));
            out.push_back(file);
        }
    }
    return out;
}

} // namespace waywarden::cli
