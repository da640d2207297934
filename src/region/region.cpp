#include "region/region.hpp"

#include "error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>

namespace waywarden::region {

namespace fs = std::filesystem;

namespace {

constexpr const char* k_schema = "region.schema";

fs::path folder() {
    return fs::path(data_folder()) / "regions";
}

} // namespace

std::string data_folder() {
    if (const char* given = std::getenv("WAYWARDEN_DATA"); given && *given) return given;
    std::error_code failed;
    const fs::path program = fs::read_symlink("/proc/self/exe", failed);
    if (!failed) {
        const fs::path installed = program.parent_path().parent_path() / "share" / "waywarden";
        if (fs::is_directory(installed / "regions", failed)) return installed.string();
    }
    // Where /proc is not mounted, as in a chroot, the place that packages install to.
    const char* const packaged = "/usr/share/waywarden";
    if (!fs::is_directory(WAYWARDEN_SOURCE_DATA, failed) && fs::is_directory(packaged, failed))
        return packaged;
    return WAYWARDEN_SOURCE_DATA;
}

std::vector<std::string> names() {
    std::error_code failed;
    std::vector<std::string> out;
    fs::directory_iterator entries(folder(), failed);
    for (; !failed && entries != fs::directory_iterator(); entries.increment(failed)) {
        const fs::path& path = entries->path();
        if (path.extension() == ".json" && path.stem() != k_schema) out.push_back(path.stem().string());
    }
    if (failed)
        throw DataError(
            fmt::format("{}: the folder of regions cannot be read ({}); install the program's data or set "
                        "WAYWARDEN_DATA to the folder that holds regions/",
                        folder().string(), failed.message()));
    std::sort(out.begin(), out.end());
    return out;
}

Region load(const std::string& name) {
    const std::vector<std::string> known = names();
    if (std::find(known.begin(), known.end(), name) == known.end())
        throw ArgumentError(fmt::format("--region {}: there is no such region; there are auto, {}", name,
                                        fmt::join(known, ", ")));
    const std::string path = (folder() / (name + ".json")).string();
    std::ifstream in(path, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    if (!in) throw DataError(fmt::format("{}: cannot be read; check its permissions", path));
    Region region = parse(text, path);
    if (region.name != name)
        throw DataError(fmt::format("{}: /name: is \"{}\" but the file is called {}; make them the same",
                                    path, region.name, name));
    return region;
}

} // namespace waywarden::region
