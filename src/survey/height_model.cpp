#include "survey/height_model.hpp"

#include "error.hpp"

#include <fmt/format.h>

#ifdef WAYWARDEN_GDAL

#include <cpl_error.h>
#include <gdal.h>
#include <ogr_srs_api.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <map>
#include <mutex>
#include <vector>

namespace waywarden::survey {

namespace {

namespace fs = std::filesystem;

constexpr double k_lowest_m = -500, k_highest_m = 9000; ///< outside is a void that the file does not declare
constexpr double k_metres_per_foot = 0.3048, k_metres_per_survey_foot = 1200.0 / 3937;

/// Keeps GDAL's own words off standard error; they go into ours.
class Quiet {
  public:
    Quiet() { CPLPushErrorHandler(CPLQuietErrorHandler); }
    ~Quiet() { CPLPopErrorHandler(); }
    Quiet(const Quiet&) = delete;
    Quiet& operator=(const Quiet&) = delete;
};

struct Close {
    void operator()(GDALDatasetH file) const { GDALClose(file); }
};
using File = std::unique_ptr<std::remove_pointer_t<GDALDatasetH>, Close>;
struct System {
    OGRSpatialReferenceH it;
    explicit System(OGRSpatialReferenceH one) : it(one) {
        OSRSetAxisMappingStrategy(it, OAMS_TRADITIONAL_GIS_ORDER);
    }
    ~System() { OSRDestroySpatialReference(it); }
    System(const System&) = delete;
    System& operator=(const System&) = delete;
};

/// From longitude and latitude on WGS 84 to a raster's own coordinates. A datum shift that is not known is
/// no shift at all in PROJ's eyes; here it is refused, since that is a hundred metres off without a word.
class ToRaster {
  public:
    ToRaster(const std::string& wkt, const std::string& path) {
        const System wgs84(OSRNewSpatialReference(nullptr)), own(OSRNewSpatialReference(wkt.c_str()));
        OSRImportFromEPSG(wgs84.it, 4326);
        OSRSetAxisMappingStrategy(wgs84.it, OAMS_TRADITIONAL_GIS_ORDER);
        if (OSRIsCompound(own.it)) OSRStripVertical(own.it);
        OGRCoordinateTransformationOptionsH options = OCTNewCoordinateTransformationOptions();
        OCTCoordinateTransformationOptionsSetBallparkAllowed(options, FALSE);
        m_it = OCTNewCoordinateTransformationEx(wgs84.it, own.it, options);
        OCTDestroyCoordinateTransformationOptions(options);
        if (!m_it)
            throw DataError(
                fmt::format("{}: cannot turn positions into its coordinates: {}; take a raster in "
                            "another system",
                            path, CPLGetLastErrorMsg()));
    }
    ~ToRaster() { OCTDestroyCoordinateTransformation(m_it); }
    ToRaster(const ToRaster&) = delete;
    ToRaster& operator=(const ToRaster&) = delete;

    std::optional<std::pair<double, double>> operator()(geo::Position place) const {
        double x = place.lon_deg, y = place.lat_deg;
        if (!OCTTransform(m_it, 1, &x, &y, nullptr) || !std::isfinite(x) || !std::isfinite(y))
            return std::nullopt;
        return std::pair(x, y);
    }

  private:
    OGRCoordinateTransformationH m_it = nullptr;
};

struct Tile {
    std::string path, wkt;
    std::array<double, 6> to_cell{}; ///< from its coordinates to columns and rows
    int columns = 0, rows = 0;
    double scale = 1, offset = 0, metres_per_unit = 1;
    std::optional<double> no_data;
    File file; ///< open once a height was asked for
};

File open_raster(const std::string& path) {
    const char* const drivers[] = {"GTiff", "SRTMHGT", nullptr};
    File file(GDALOpenEx(path.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY, drivers, nullptr, nullptr));
    if (!file)
        throw DataError(
            fmt::format("{}: not readable as a raster of heights: {}; give GeoTIFF (.tif), or SRTM "
                        "(.hgt) under its own name, such as N56E002.hgt",
                        path, CPLGetLastErrorMsg()));
    return file;
}

double metres_per_unit(const std::string& path, std::string unit) {
    std::transform(unit.begin(), unit.end(), unit.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    for (const char* metre : {"", "m", "metre", "metres", "meter", "meters"})
        if (unit == metre) return 1;
    for (const char* foot : {"ft", "foot", "feet"})
        if (unit == foot) return k_metres_per_foot;
    for (const char* foot : {"us-ft", "ftus", "us survey foot"})
        if (unit == foot) return k_metres_per_survey_foot;
    throw DataError(
        fmt::format("{}: heights in \"{}\", which is neither metres nor feet; convert it", path, unit));
}

void refuse_pictures(const std::string& path, GDALDatasetH file) {
    if (GDALGetRasterCount(file) != 1)
        throw DataError(
            fmt::format("{}: holds {} bands; a raster of heights has one: this looks like a picture", path,
                        GDALGetRasterCount(file)));
    const GDALRasterBandH band = GDALGetRasterBand(file, 1);
    if (GDALGetRasterDataType(band) == GDT_Byte || GDALGetRasterColorInterpretation(band) == GCI_PaletteIndex)
        throw DataError(fmt::format("{}: holds whole numbers up to 255, which is a picture and no heights; "
                                    "take the heights themselves",
                                    path));
}

Tile read_tile(const std::string& path) {
    const File file = open_raster(path);
    refuse_pictures(path, file.get());
    Tile out;
    out.path = path;
    out.wkt = GDALGetProjectionRef(file.get());
    std::array<double, 6> from_cell{};
    if (out.wkt.empty() || GDALGetGeoTransform(file.get(), from_cell.data()) != CE_None ||
        !GDALInvGeoTransform(from_cell.data(), out.to_cell.data()))
        throw DataError(
            fmt::format("{}: does not say where on Earth it lies; take one with its georeference", path));
    out.columns = GDALGetRasterXSize(file.get());
    out.rows = GDALGetRasterYSize(file.get());
    const GDALRasterBandH band = GDALGetRasterBand(file.get(), 1);
    int has = 0;
    const double no_data = GDALGetRasterNoDataValue(band, &has);
    if (has) out.no_data = no_data;
    out.scale = GDALGetRasterScale(band, &has);
    out.offset = GDALGetRasterOffset(band, &has);
    out.metres_per_unit = metres_per_unit(path, GDALGetRasterUnitType(band));
    return out;
}

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

/// Metres in one cell; nothing where it is void.
std::optional<double> cell(const Tile& tile, double raw) {
    if (!std::isfinite(raw) || (tile.no_data && raw == *tile.no_data)) return std::nullopt;
    const double metres = (raw * tile.scale + tile.offset) * tile.metres_per_unit;
    return metres >= k_lowest_m && metres <= k_highest_m ? std::optional(metres) : std::nullopt;
}

/// `x` and `y` in cells from the raster's corner.
std::optional<double> bilinear(Tile& tile, double x, double y) {
    if (!(x >= 0 && y >= 0 && x <= tile.columns && y <= tile.rows)) return std::nullopt;
    // Values stand for the middles of cells; in the outer half of the outermost they hold to the edge.
    x = std::clamp(x - 0.5, 0.0, tile.columns - 1.0);
    y = std::clamp(y - 0.5, 0.0, tile.rows - 1.0);
    const int column = std::min(static_cast<int>(x), std::max(tile.columns - 2, 0));
    const int row = std::min(static_cast<int>(y), std::max(tile.rows - 2, 0));
    const int wide = std::min(2, tile.columns), high = std::min(2, tile.rows);
    if (!tile.file) tile.file = open_raster(tile.path);
    std::array<double, 4> raw{};
    if (GDALRasterIO(GDALGetRasterBand(tile.file.get(), 1), GF_Read, column, row, wide, high, raw.data(),
                     wide, high, GDT_Float64, 0, 0) != CE_None)
        throw DataError(fmt::format("{}: damaged: {}; get it again", tile.path, CPLGetLastErrorMsg()));
    double sum = 0;
    for (int r = 0; r < high; ++r)
        for (int c = 0; c < wide; ++c) {
            const double weight = (1 - std::abs(x - column - c)) * (1 - std::abs(y - row - r));
            if (weight <= 0) continue;
            const auto metres = cell(tile, raw[static_cast<std::size_t>(r * wide + c)]);
            if (!metres) return std::nullopt;
            sum += weight * *metres;
        }
    return sum;
}

} // namespace

struct HeightModel::Rasters {
    std::string words;
    std::vector<Tile> tiles;
    std::map<std::string, ToRaster> systems; ///< by WKT; tiles of one set share theirs
    std::mutex mutex;                        ///< GDAL's files are for one thread at a time
};

bool HeightModel::available() {
    return true;
}

HeightModel::HeightModel(const std::string& path) : m_rasters(std::make_unique<Rasters>()) {
    const Quiet quiet;
    static std::once_flag once;
    std::call_once(once, GDALAllRegister);
    std::error_code failed;
    const bool folder = fs::is_directory(path, failed);
    if (!folder && !fs::is_regular_file(path, failed))
        throw ArgumentError(fmt::format("--elevation {}: there is no such file or folder", path));
    const std::vector<std::string> paths = folder ? tiles_in(path) : std::vector{path};
    for (const std::string& one : paths) {
        const Tile& tile = m_rasters->tiles.emplace_back(read_tile(one));
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
        for (Tile& tile : m_rasters->tiles) {
            if (tile.wkt != wkt) continue;
            double x = 0, y = 0;
            GDALApplyGeoTransform(tile.to_cell.data(), at->first, at->second, &x, &y);
            if (const auto metres = bilinear(tile, x, y)) return metres;
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
                    "libgdal-dev and build it again, or leave the option out",
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
