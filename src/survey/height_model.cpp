#include "survey/height_model.hpp"

#include "error.hpp"
#include "survey/raster_tile.hpp"

#include <fmt/format.h>

#ifdef WAYWARDEN_GDAL

#include <algorithm>
#include <filesystem>
#include <map>
#include <mutex>
#include <vector>

namespace waywarden::survey {

namespace {

namespace fs = std::filesystem;

std::vector<std::string> tiles_in(const std::string& folder) {
    std::vector<std::string> out;
    for (const auto& entry : fs::directory_iterator(folder)) {
        const std::string end = entry.path().extension().string();
        for (const char* known : {".tif", ".tiff", ".hgt", ".TIF", ".TIFF", ".HGT"})
            if (end == known) out.push_back(entry.path().string());
    }
    std::sort(out.begin(), out.end());
    if (out.empty())
        throw ArgumentError(fmt::format("--elevation {}: no .tif, .tiff or .hgt in this folder", folder));
    return out;
}

} // namespace

struct HeightModel::Rasters {
    std::string words;
    std::vector<RasterTile> tiles;
    std::map<std::string, ToRaster> systems; ///< by WKT; tiles of one set share theirs
    std::mutex mutex;                        ///< GDAL's files are for one thread at a time
};

bool HeightModel::available() {
    return true;
}

HeightModel::HeightModel(const std::string& path) : m_rasters(std::make_unique<Rasters>()) {
    const Quiet quiet;
    std::error_code failed;
    const bool folder = fs::is_directory(path, failed);
    if (!folder && !fs::is_regular_file(path, failed))
        throw ArgumentError(fmt::format("--elevation {}: there is no such file or folder", path));
    const std::vector<std::string> paths = folder ? tiles_in(path) : std::vector{path};
    for (const std::string& one : paths) {
        const RasterTile& tile = m_rasters->tiles.emplace_back(read_tile(one));
        m_rasters->systems.try_emplace(tile.wkt, tile.wkt, one);
    }
    const std::string name = fs::path(path).lexically_normal().string();
    m_rasters->words =
        folder ? fmt::format("heights from {} in {}",
                             paths.size() == 1 ? "1 file" : fmt::format("{} files", paths.size()), name)
               : fmt::format("heights from {}", name);
}

std::optional<double> HeightModel::height_m(geo::Position place) const {
    const std::lock_guard lock(m_rasters->mutex);
    const Quiet quiet;
    for (const auto& [wkt, to_raster] : m_rasters->systems) {
        const auto at = to_raster(place);
        if (!at) continue;
        for (RasterTile& tile : m_rasters->tiles) {
            if (tile.wkt != wkt) continue;
            if (const auto metres = height_in(tile, *at)) return metres;
        }
    }
    return std::nullopt;
}

std::string HeightModel::words() const {
    return m_rasters->words;
}

} // namespace waywarden::survey

#else

namespace waywarden::survey {

struct HeightModel::Rasters {};

bool HeightModel::available() {
    return false;
}

HeightModel::HeightModel(const std::string& path) {
    throw ArgumentError(
        fmt::format("--elevation {}: this program was built without GDAL, which reads rasters; install "
                    "libgdal-dev, delete the build folder and build it again, or leave the option out",
                    path));
}

std::optional<double> HeightModel::height_m(geo::Position) const {
    return std::nullopt;
}

std::string HeightModel::words() const {
    return "";
}

} // namespace waywarden::survey

#endif

namespace waywarden::survey {

HeightModel::~HeightModel() = default;
HeightModel::HeightModel(HeightModel&&) noexcept = default;
HeightModel& HeightModel::operator=(HeightModel&&) noexcept = default;

} // namespace waywarden::survey
