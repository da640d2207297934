#include "error.hpp"
#include "survey/height_model.hpp"
#include "survey/heights.hpp"

#include <doctest/doctest.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <limits>
#include <string>
#include <vector>

#ifdef WAYWARDEN_GDAL
#include <gdal.h>
#include <ogr_srs_api.h>
#endif

using namespace waywarden;
using survey::HeightModel;

namespace {

namespace fs = std::filesystem;

/// A folder that is gone after the test.
struct Folder {
    fs::path path;
    Folder() : path(fs::temp_directory_path() / ("waywarden-heights-" + std::to_string(getpid()))) {
        fs::create_directories(path);
    }
    ~Folder() { fs::remove_all(path); }
    std::string at(const std::string& name) const { return (path / name).string(); }
};

template <class Error> std::string failure(const std::string& path) {
    try {
        const HeightModel model(path);
    } catch (const Error& e) {
        return e.what();
    }
    return "";
}

} // namespace

#ifdef WAYWARDEN_GDAL

namespace {

constexpr float k_void = -9999;

struct Raster {
    std::vector<float> cells;
    int columns = 3;
    int epsg = 4326;             ///< 0: none
    double west = 2, north = 57; ///< of the outer corner
    double size = 1;             ///< of a cell
    int bands = 1;
    GDALDataType type = GDT_Float32;
    const char* unit = nullptr;
    bool declares_void = true;
};

/// Writes a GeoTIFF by GDAL itself.
void write(const std::string& path, const Raster& raster) {
    GDALAllRegister();
    const int rows = static_cast<int>(raster.cells.size()) / raster.columns;
    GDALDatasetH file = GDALCreate(GDALGetDriverByName("GTiff"), path.c_str(), raster.columns, rows,
                                   raster.bands, raster.type, nullptr);
    REQUIRE(file);
    double corner[] = {raster.west, raster.size, 0, raster.north, 0, -raster.size};
    if (raster.epsg) {
        GDALSetGeoTransform(file, corner);
        OGRSpatialReferenceH system = OSRNewSpatialReference(nullptr);
        OSRImportFromEPSG(system, raster.epsg);
        GDALSetSpatialRef(file, system);
        OSRDestroySpatialReference(system);
    }
    GDALRasterBandH band = GDALGetRasterBand(file, 1);
    if (raster.declares_void) GDALSetRasterNoDataValue(band, static_cast<double>(k_void));
    if (raster.unit) GDALSetRasterUnitType(band, raster.unit);
    std::vector<float> cells = raster.cells;
    CHECK(GDALRasterIO(band, GF_Write, 0, 0, raster.columns, rows, cells.data(), raster.columns, rows,
                       GDT_Float32, 0, 0) == CE_None);
    GDALClose(file);
}

/// An SRTM tile: 1201 by 1201 numbers of two bytes, high byte first, the first row the northernmost, whose
/// middles lie on the whole degrees. Source: USGS, SRTM Topo documentation; from memory.
void write_srtm(const std::string& path, int (*metres)(int row, int column)) {
    std::ofstream file(path, std::ios::binary);
    for (int row = 0; row < 1201; ++row)
        for (int column = 0; column < 1201; ++column) {
            const int value = metres(row, column);
            file.put(static_cast<char>(value >> 8 & 255)).put(static_cast<char>(value & 255));
        }
}

} // namespace

// The middles of the cells lie at 2.5, 3.5, 4.5 E and 56.5, 55.5, 54.5 N.
TEST_CASE("heights between the middles of cells are bilinear") {
    const Folder folder;
    write(folder.at("a.tif"), {{10, 20, 30, 40, 50, 60, 70, 80, 90}});
    const HeightModel model(folder.at("a.tif"));
    CHECK(*model.height_m({2.5, 56.5}) == doctest::Approx(10));
    CHECK(*model.height_m({4.5, 54.5}) == doctest::Approx(90));
    CHECK(*model.height_m({3.0, 56.5}) == doctest::Approx(15));
    CHECK(*model.height_m({3.0, 56.0}) == doctest::Approx(30));
    CHECK(*model.height_m({3.75, 55.25}) == doctest::Approx(50 + 0.25 * 10 + 0.25 * 30));
    // In the outer half of the outermost cells the height holds to the edge.
    CHECK(*model.height_m({2.1, 56.9}) == doctest::Approx(10));
    CHECK(model.words() == "heights from " + folder.at("a.tif"));
}

TEST_CASE("outside a raster and beside its voids nothing is known") {
    const Folder folder;
    write(folder.at("a.tif"), {{10, 20, 30, 40, k_void, 60, 70, 80, 90}});
    const HeightModel model(folder.at("a.tif"));
    for (const geo::Position outside :
         {geo::Position{1.9, 56.5}, {5.1, 56.5}, {3.5, 57.1}, {3.5, 53.9}, {-178, -60}})
        CHECK(!model.height_m(outside));
    CHECK(!model.height_m({3.5, 55.5}));
    CHECK(!model.height_m({3.1, 55.9}));
    // Where the void has no weight the others tell.
    CHECK(*model.height_m({3.0, 56.5}) == doctest::Approx(15));

    write(folder.at("b.tif"), {.cells = {10, 20, 30, 40, k_void, 60, 70, 80, 90}, .declares_void = false});
    CHECK(!HeightModel(folder.at("b.tif")).height_m({3.1, 55.9}));
    const float nan = std::numeric_limits<float>::quiet_NaN();
    write(folder.at("c.tif"), {.cells = {10, 20, 30, 40, nan, 60, 70, 80, 90}, .declares_void = false});
    CHECK(!HeightModel(folder.at("c.tif")).height_m({3.1, 55.9}));
}

TEST_CASE("several tiles of a folder, also in systems of their own") {
    const Folder folder;
    write(folder.at("west.tif"), {{10, 20, 30, 40, 50, 60, 70, 80, 90}});
    write(folder.at("east.tif"), {.cells = {100, 200, 300, 400, 500, 600, 700, 800, 900}, .west = 5});
    // The same place on the British grid, 1 km cells: TG 513 131, from Ordnance Survey's worked example
    // E 651409.903, N 313177.270 is 52 39 27.2531 N 1 43 4.5177 E on OSGB36, which is 52.658 N 1.716 E on
    // WGS 84.
    write(folder.at("grid.tif"), {.cells = {1, 2, 3, 4, 5, 6, 7, 8, 9},
                                  .epsg = 27700,
                                  .west = 651409.8 - 1500,
                                  .north = 313177.5 + 1500,
                                  .size = 1000});
    const HeightModel model(folder.path.string());
    CHECK(*model.height_m({2.5, 56.5}) == doctest::Approx(10));
    CHECK(*model.height_m({5.5, 56.5}) == doctest::Approx(100));
    CHECK(*model.height_m({1.716073973, 52.658007833}) == doctest::Approx(5).epsilon(0.005));
    CHECK(!model.height_m({9, 56.5}));
    CHECK(model.words() == "heights from 3 files in " + folder.path.string());
}

TEST_CASE("an SRTM tile, its corners and its voids") {
    const Folder folder;
    write_srtm(folder.at("N56E002.hgt"), [](int row, int column) {
        return row == 600 && column == 600 ? -32768 : 1200 - row + (column == 0 ? 100 : 0);
    });
    const HeightModel model(folder.path.string());
    CHECK(*model.height_m({2.5, 56.25}) == doctest::Approx(300));
    CHECK(*model.height_m({2.9, 56 + 100.5 / 1200}) == doctest::Approx(100.5));
    CHECK(*model.height_m({2.0, 56.75}) == doctest::Approx(1000));
    CHECK(*model.height_m({3.0, 57.0}) == doctest::Approx(1200));
    CHECK(*model.height_m({3.0, 56.0}) == doctest::Approx(0));
    CHECK(!model.height_m({2.5, 56.5}));
    CHECK(!model.height_m({2.5 + 0.5 / 1200, 56.5}));
    CHECK(!model.height_m({3.01, 56.5}));
}

TEST_CASE("heights in feet are turned into metres") {
    const Folder folder;
    write(folder.at("feet.tif"),
          {.cells = {1000, 1000, 1000, 1000, 1000, 1000, 1000, 1000, 1000}, .unit = "ft"});
    CHECK(*HeightModel(folder.at("feet.tif")).height_m({3, 56}) == doctest::Approx(304.8));
}

TEST_CASE("what is no raster of heights is refused in words") {
    const Folder folder;
    const std::vector<float> nine(9, 7);
    CHECK(failure<ArgumentError>(folder.at("none.tif")).find("there is no such file or folder") !=
          std::string::npos);
    CHECK(failure<ArgumentError>(folder.path.string()).find("no .tif, .tiff or .hgt in this folder") !=
          std::string::npos);
    std::ofstream(folder.at("words.tif")) << "no raster at all";
    CHECK(failure<DataError>(folder.at("words.tif")).find("not readable as a raster of heights") !=
          std::string::npos);
    write(folder.at("nowhere.tif"), {.cells = nine, .epsg = 0});
    CHECK(failure<DataError>(folder.at("nowhere.tif")).find("does not say where on Earth it lies") !=
          std::string::npos);
    write(folder.at("colours.tif"), {.cells = nine, .bands = 3});
    CHECK(failure<DataError>(folder.at("colours.tif")).find("holds 3 bands") != std::string::npos);
    write(folder.at("shades.tif"), {.cells = nine, .type = GDT_Byte});
    CHECK(failure<DataError>(folder.at("shades.tif")).find("a picture and no heights") != std::string::npos);
    write(folder.at("fathoms.tif"), {.cells = nine, .unit = "fathom"});
    CHECK(failure<DataError>(folder.at("fathoms.tif")).find("neither metres nor feet") != std::string::npos);
    std::ofstream(folder.at("N56E002.hgt")) << "short";
    CHECK(!failure<DataError>(folder.at("N56E002.hgt")).empty());
}

// The slope is made: a metre up for each of 1200 cells of a degree, 111.4 km at 56.5 N by the WGS 84
// ellipsoid.
TEST_CASE("a route over a raster climbs what the raster climbs") {
    const Folder folder;
    write_srtm(folder.at("N56E002.hgt"), [](int row, int) { return 1200 - row; });
    const HeightModel model(folder.path.string());
    route::Route route;
    route.segments.push_back({{{{2.3, 56.2}, std::nullopt, 0}, {{2.3, 56.4}, std::nullopt, 0}}});
    const survey::HeightLine heights = survey::heights_of_model(route, model);
    const auto climb = survey::climb_between(heights, 0, heights.length_m);
    REQUIRE(climb);
    CHECK(climb->ascent_m == doctest::Approx(240).epsilon(0.001));
    CHECK(climb->descent_m == 0);
    CHECK(heights.words == "heights from 1 file in " + folder.path.string() +
                               ", smoothed over 50 m; rises and falls under 5 m not counted");
    // Half of it beyond the tile: unknown there, and said.
    route.segments[0].points[1].position = {2.3, 57.2};
    const survey::HeightLine half = survey::heights_of_model(route, model);
    CHECK(!survey::climb_between(half, 0, half.length_m));
    CHECK(survey::climb_between(half, 0, 50000));
    CHECK(half.words.find("unknown on 20 % of the line") != std::string::npos);
    route.segments[0].points[0].position = {2.3, 57.1};
    CHECK(survey::heights_of_model(route, model).why_not ==
          "Heights from 1 file in " + folder.path.string() + ": none anywhere on the route.");
}

#else

TEST_CASE("without GDAL a raster is refused in words") {
    const Folder folder;
    CHECK(!HeightModel::available());
    CHECK(failure<ArgumentError>(folder.path.string()).find("built without GDAL") != std::string::npos);
}

#endif
