#include "survey/raster_tile.hpp"

#ifdef WAYWARDEN_GDAL

#include "error.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace waywarden::survey {

namespace {

constexpr double k_lowest_m = -500, k_highest_m = 9000; ///< outside is a void that the file does not declare
constexpr double k_metres_per_foot = 0.3048, k_metres_per_survey_foot = 1200.0 / 3937;

/// A system of coordinates with east before north.
struct System {
    OGRSpatialReferenceH it;
    explicit System(const char* wkt) : it(gdal().new_system(wkt)) {
        gdal().set_axes(it, OAMS_TRADITIONAL_GIS_ORDER);
    }
    ~System() { gdal().destroy_system(it); }
    System(const System&) = delete;
    System& operator=(const System&) = delete;
};

RasterFile open_raster(const std::string& path) {
    const char* const drivers[] = {"GTiff", "SRTMHGT", nullptr};
    RasterFile file(gdal().open(path.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR,
                                drivers, nullptr, nullptr));
    if (!file)
        throw DataError(
            fmt::format("{}: not readable as a raster of heights: {}; give GeoTIFF (.tif), or SRTM "
                        "(.hgt) under its own name, such as N56E002.hgt",
                        path, gdal().last_error()));
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
    if (gdal().bands(file) != 1)
        throw DataError(
            fmt::format("{}: holds {} bands; a raster of heights has one: this looks like a picture", path,
                        gdal().bands(file)));
    const GDALRasterBandH band = gdal().band(file, 1);
    if (gdal().type(band) == GDT_Byte || gdal().colour(band) == GCI_PaletteIndex)
        throw DataError(fmt::format("{}: holds whole numbers up to 255, which is a picture and no heights; "
                                    "take the heights themselves",
                                    path));
}

/// Metres in one cell; nothing where it is void.
std::optional<double> cell(const RasterTile& tile, double raw) {
    if (!std::isfinite(raw) || (tile.no_data && raw == *tile.no_data)) return std::nullopt;
    const double metres = (raw * tile.scale + tile.offset) * tile.metres_per_unit;
    return metres >= k_lowest_m && metres <= k_highest_m ? std::optional(metres) : std::nullopt;
}

/// `x` and `y` in cells from the raster's corner.
std::optional<double> bilinear(RasterTile& tile, double x, double y) {
    if (!(x >= 0 && y >= 0 && x <= tile.columns && y <= tile.rows)) return std::nullopt;
    // Values stand for the middles of cells; in the outer half of the outermost they hold to the edge.
    x = std::clamp(x - 0.5, 0.0, tile.columns - 1.0);
    y = std::clamp(y - 0.5, 0.0, tile.rows - 1.0);
    const int column = std::min(static_cast<int>(x), std::max(tile.columns - 2, 0));
    const int row = std::min(static_cast<int>(y), std::max(tile.rows - 2, 0));
    const int wide = std::min(2, tile.columns), high = std::min(2, tile.rows);
    if (!tile.file) tile.file = open_raster(tile.path);
    std::array<double, 4> raw{};
    if (gdal().read(gdal().band(tile.file.get(), 1), GF_Read, column, row, wide, high, raw.data(), wide, high,
                    GDT_Float64, 0, 0) != CE_None)
        throw DataError(fmt::format("{}: damaged: {}; get it again", tile.path, gdal().last_error()));
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

ToRaster::ToRaster(const std::string& wkt, const std::string& path) {
    const System wgs84(nullptr), own(wkt.c_str());
    gdal().from_epsg(wgs84.it, 4326);
    gdal().set_axes(wgs84.it, OAMS_TRADITIONAL_GIS_ORDER);
    if (gdal().is_compound(own.it)) gdal().strip_vertical(own.it);
    OGRCoordinateTransformationOptionsH options = gdal().new_options();
    gdal().allow_ballpark(options, FALSE);
    m_it = gdal().new_transformation(wgs84.it, own.it, options);
    gdal().destroy_options(options);
    if (!m_it)
        throw DataError(
            fmt::format("{}: cannot turn positions into its coordinates: {}; take a raster in another "
                        "system",
                        path, gdal().last_error()));
}

ToRaster::~ToRaster() {
    gdal().destroy_transformation(m_it);
}

std::optional<std::pair<double, double>> ToRaster::operator()(geo::Position place) const {
    double x = place.lon_deg, y = place.lat_deg;
    if (!gdal().transform(m_it, 1, &x, &y, nullptr) || !std::isfinite(x) || !std::isfinite(y))
        return std::nullopt;
    return std::pair(x, y);
}

RasterTile read_tile(const std::string& path) {
    const RasterFile file = open_raster(path);
    refuse_pictures(path, file.get());
    RasterTile out;
    out.path = path;
    out.wkt = gdal().projection(file.get());
    std::array<double, 6> from_cell{};
    if (out.wkt.empty() || gdal().geo_transform(file.get(), from_cell.data()) != CE_None ||
        !gdal().invert(from_cell.data(), out.to_cell.data()))
        throw DataError(
            fmt::format("{}: does not say where on Earth it lies; take one with its georeference", path));
    out.columns = gdal().columns(file.get());
    out.rows = gdal().rows(file.get());
    const GDALRasterBandH band = gdal().band(file.get(), 1);
    int has = 0;
    const double no_data = gdal().no_data(band, &has);
    if (has) out.no_data = no_data;
    out.scale = gdal().scale(band, &has);
    out.offset = gdal().offset(band, &has);
    out.metres_per_unit = metres_per_unit(path, gdal().unit(band));
    return out;
}

std::optional<double> height_in(RasterTile& tile, std::pair<double, double> at) {
    double x = 0, y = 0;
    gdal().apply(tile.to_cell.data(), at.first, at.second, &x, &y);
    return bilinear(tile, x, y);
}

} // namespace waywarden::survey

#endif
