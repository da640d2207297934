#pragma once

#include "geo/position.hpp"

#include <memory>
#include <optional>
#include <string>

namespace waywarden::survey {

/// Heights of the ground from raster files the user gives: GeoTIFF, SRTM .hgt. Safe to share among threads.
class HeightModel {
  public:
    /// `path` is a file, or a folder of tiles (.tif, .tiff and .hgt in it). Throws ArgumentError where there
    /// is nothing such, where this program was built without GDAL, and DataError where a file cannot be used:
    /// no georeference, a unit of height that is neither metres nor feet.
    explicit HeightModel(const std::string& path);
    ~HeightModel();
    HeightModel(HeightModel&&) noexcept;
    HeightModel& operator=(HeightModel&&) noexcept;

    /// Metres as the raster counts them, between the centres of its four nearest cells (bilinear), to its
    /// edge. Nothing outside, and nothing where one of the cells that count is void.
    std::optional<double> height_m(geo::Position place) const;

    /// The raster by name: `heights.tif`, `the 4 files of tiles/`.
    std::string words() const;

    /// Whether this program can read rasters at all.
    static bool available();

  private:
    struct Rasters;
    std::unique_ptr<Rasters> m_rasters;
};

} // namespace waywarden::survey
