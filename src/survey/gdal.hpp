#pragma once

#ifdef WAYWARDEN_GDAL

#include <cpl_error.h>
#include <gdal.h>
#include <ogr_srs_api.h>

namespace waywarden::survey {

/// What is used of GDAL, found in its library when somebody gives a raster: linked in, its hundred libraries
/// would cost every run a tenth of a second.
struct Gdal {
    decltype(&::CPLPushErrorHandler) push_error_handler = nullptr;
    decltype(&::CPLPopErrorHandler) pop_error_handler = nullptr;
    decltype(&::CPLQuietErrorHandler) quiet_error_handler = nullptr;
    decltype(&::CPLGetLastErrorMsg) last_error = nullptr;
    decltype(&::GDALAllRegister) register_all = nullptr;
    decltype(&::GDALOpenEx) open = nullptr;
    decltype(&::GDALClose) close = nullptr;
    decltype(&::GDALGetRasterCount) bands = nullptr;
    decltype(&::GDALGetRasterBand) band = nullptr;
    decltype(&::GDALGetRasterDataType) type = nullptr;
    decltype(&::GDALGetRasterColorInterpretation) colour = nullptr;
    decltype(&::GDALGetProjectionRef) projection = nullptr;
    decltype(&::GDALGetGeoTransform) geo_transform = nullptr;
    decltype(&::GDALInvGeoTransform) invert = nullptr;
    decltype(&::GDALApplyGeoTransform) apply = nullptr;
    decltype(&::GDALGetRasterXSize) columns = nullptr;
    decltype(&::GDALGetRasterYSize) rows = nullptr;
    decltype(&::GDALGetRasterNoDataValue) no_data = nullptr;
    decltype(&::GDALGetRasterScale) scale = nullptr;
    decltype(&::GDALGetRasterOffset) offset = nullptr;
    decltype(&::GDALGetRasterUnitType) unit = nullptr;
    decltype(&::GDALRasterIO) read = nullptr;
    decltype(&::OSRNewSpatialReference) new_system = nullptr;
    decltype(&::OSRDestroySpatialReference) destroy_system = nullptr;
    decltype(&::OSRSetAxisMappingStrategy) set_axes = nullptr;
    decltype(&::OSRImportFromEPSG) from_epsg = nullptr;
    decltype(&::OSRIsCompound) is_compound = nullptr;
    decltype(&::OSRStripVertical) strip_vertical = nullptr;
    decltype(&::OCTNewCoordinateTransformationOptions) new_options = nullptr;
    decltype(&::OCTCoordinateTransformationOptionsSetBallparkAllowed) allow_ballpark = nullptr;
    decltype(&::OCTDestroyCoordinateTransformationOptions) destroy_options = nullptr;
    decltype(&::OCTNewCoordinateTransformationEx) new_transformation = nullptr;
    decltype(&::OCTTransform) transform = nullptr;
    decltype(&::OCTDestroyCoordinateTransformation) destroy_transformation = nullptr;
};

/// Loads the library the first time. Throws ArgumentError where it is not on this machine or lacks something.
const Gdal& gdal();

} // namespace waywarden::survey

#endif
