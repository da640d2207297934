#pragma once

#ifdef WAYWARDEN_GDAL

#include "geo/position.hpp"
#include "survey/gdal.hpp"

#include <array>
#include <memory>
#include <optional>
#include <string>
#include <utility>

namespace waywarden::survey {

/// Keeps GDAL's own words off standard error; they go into ours.
class Quiet {
  public:
    Quiet() { gdal().push_error_handler(gdal().quiet_error_handler); }
    ~Quiet() { gdal().pop_error_handler(); }
    Quiet(const Quiet&) = delete;
    Quiet& operator=(const Quiet&) = delete;
};

/// From longitude and latitude on WGS 84 to a raster's own coordinates. A datum shift that is not known is
/// no shift at all in PROJ's eyes; here it is refused, since that is a hundred metres off without a word.
class ToRaster {
  public:
    /// Throws DataError, naming `path`, where there is no way from one to the other.
    ToRaster(const std::string& wkt, const std::string& path);
    ~ToRaster();
    ToRaster(const ToRaster&) = delete;
    ToRaster& operator=(const ToRaster&) = delete;

    std::optional<std::pair<double, double>> operator()(geo::Position place) const;

  private:
    OGRCoordinateTransformationH m_it = nullptr;
};

struct CloseRaster {
    void operator()(GDALDatasetH file) const { gdal().close(file); }
};
using RasterFile = std::unique_ptr<std::remove_pointer_t<GDALDatasetH>, CloseRaster>;

/// One raster of heights; north need not be up.
struct RasterTile {
    std::string path, wkt;
    std::array<double, 6> to_cell{}; ///< from its coordinates to columns and rows
    int columns = 0, rows = 0;
    double scale = 1, offset = 0, metres_per_unit = 1;
    std::optional<double> no_data;
    RasterFile file; ///< open once a height was asked for
};

/// What its header says. Throws DataError where it cannot be used.
RasterTile read_tile(const std::string& path);

/// Metres at a place in the raster's own coordinates, bilinear; nothing outside and beside a void. Throws
/// DataError where the file is damaged.
std::optional<double> height_in(RasterTile& tile, std::pair<double, double> at);

} // namespace waywarden::survey

#endif
