#include "survey/gdal.hpp"

#ifdef WAYWARDEN_GDAL

#include "error.hpp"

#include <dlfcn.h>
#include <fmt/format.h>

namespace waywarden::survey {

namespace {

template <class F> void find(void* library, const char* name, F& function) {
    function = reinterpret_cast<F>(dlsym(library, name));
    if (!function)
        throw ArgumentError(
            fmt::format("--elevation: {} on this machine lacks {}; install the version that this "
                        "program was built with",
                        WAYWARDEN_GDAL, name));
}

Gdal load() {
    void* library = dlopen(WAYWARDEN_GDAL, RTLD_NOW | RTLD_LOCAL);
    if (!library)
        throw ArgumentError(
            fmt::format("--elevation: the library {}, which reads rasters, is not on this machine; "
                        "install GDAL, or leave the option out",
                        WAYWARDEN_GDAL));
    Gdal out;
    find(library, "CPLPushErrorHandler", out.push_error_handler);
    find(library, "CPLPopErrorHandler", out.pop_error_handler);
    find(library, "CPLQuietErrorHandler", out.quiet_error_handler);
    find(library, "CPLGetLastErrorMsg", out.last_error);
    find(library, "GDALAllRegister", out.register_all);
    find(library, "GDALOpenEx", out.open);
    find(library, "GDALClose", out.close);
    find(library, "GDALGetRasterCount", out.bands);
    find(library, "GDALGetRasterBand", out.band);
    find(library, "GDALGetRasterDataType", out.type);
    find(library, "GDALGetRasterColorInterpretation", out.colour);
    find(library, "GDALGetProjectionRef", out.projection);
    find(library, "GDALGetGeoTransform", out.geo_transform);
    find(library, "GDALInvGeoTransform", out.invert);
    find(library, "GDALApplyGeoTransform", out.apply);
    find(library, "GDALGetRasterXSize", out.columns);
    find(library, "GDALGetRasterYSize", out.rows);
    find(library, "GDALGetRasterNoDataValue", out.no_data);
    find(library, "GDALGetRasterScale", out.scale);
    find(library, "GDALGetRasterOffset", out.offset);
    find(library, "GDALGetRasterUnitType", out.unit);
    find(library, "GDALRasterIO", out.read);
    find(library, "OSRNewSpatialReference", out.new_system);
    find(library, "OSRDestroySpatialReference", out.destroy_system);
    find(library, "OSRSetAxisMappingStrategy", out.set_axes);
    find(library, "OSRImportFromEPSG", out.from_epsg);
    find(library, "OSRIsCompound", out.is_compound);
    find(library, "OSRStripVertical", out.strip_vertical);
    find(library, "OCTNewCoordinateTransformationOptions", out.new_options);
    find(library, "OCTCoordinateTransformationOptionsSetBallparkAllowed", out.allow_ballpark);
    find(library, "OCTDestroyCoordinateTransformationOptions", out.destroy_options);
    find(library, "OCTNewCoordinateTransformationEx", out.new_transformation);
    find(library, "OCTTransform", out.transform);
    find(library, "OCTDestroyCoordinateTransformation", out.destroy_transformation);
    out.register_all();
    return out;
}

} // namespace

const Gdal& gdal() {
    static const Gdal one = load();
    return one;
}

} // namespace waywarden::survey

#endif
