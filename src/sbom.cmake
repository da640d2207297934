# The software bill of materials: what the program is linked with or made from, in the versions found when it was
# configured. SPDX 2.3, tag-value form (ISO/IEC 5962:2021). Included by CMakeLists.txt.

function(version_of_header file pattern out)
  set(version "NOASSERTION")
  if(EXISTS ${file})
    file(READ ${file} text)
    if(text MATCHES "${pattern}")
      set(version ${CMAKE_MATCH_1})
    endif()
  endif()
  set(${out} ${version} PARENT_SCOPE)
endfunction()

function(version_of_package name out)
  execute_process(COMMAND ${PKG_CONFIG_EXECUTABLE} --modversion ${name} OUTPUT_VARIABLE version
                  OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET)
  if(NOT version)
    set(version "NOASSERTION")
  endif()
  set(${out} ${version} PARENT_SCOPE)
endfunction()

set(SBOM_PACKAGES "")
# `how` is DYNAMIC_LINK for a shared library, STATIC_LINK for headers that are compiled in, OPTIONAL_DEPENDENCY.
function(sbom name version license how)
  string(REGEX REPLACE "[^A-Za-z0-9.-]" "-" id ${name})
  if(how STREQUAL "OPTIONAL")
    set(relation "SPDXRef-${id} OPTIONAL_DEPENDENCY_OF SPDXRef-waywarden")
  else()
    set(relation "SPDXRef-waywarden ${how} SPDXRef-${id}")
  endif()
  string(APPEND SBOM_PACKAGES "\nPackageName: ${name}\nSPDXID: SPDXRef-${id}\nPackageVersion: ${version}\n"
    "PackageDownloadLocation: NOASSERTION\nFilesAnalyzed: false\nPackageLicenseConcluded: ${license}\n"
    "PackageLicenseDeclared: ${license}\nPackageCopyrightText: NOASSERTION\nRelationship: ${relation}\n")
  set(SBOM_PACKAGES "${SBOM_PACKAGES}" PARENT_SCOPE)
endfunction()

version_of_header(${OSMIUM_INCLUDE}/osmium/version.hpp "LIBOSMIUM_VERSION_STRING \"([0-9.]+)\"" osmium_version)
version_of_header(${OSMIUM_INCLUDE}/protozero/version.hpp "PROTOZERO_VERSION_STRING \"([0-9.]+)\"" protozero_version)
version_of_header(${GEOS_C_INCLUDE}/geos_c.h "define GEOS_VERSION \"([0-9.]+)\"" geos_version)
version_of_header(${GEOGRAPHICLIB_INCLUDE}/GeographicLib/Config.h "GEOGRAPHICLIB_VERSION_STRING \"([0-9.]+)\""
                  geographiclib_version)
version_of_package(liblz4 lz4_version)
version_of_package(libzstd zstd_version)
version_of_package(jemalloc jemalloc_version)
sbom(libosmium ${osmium_version} BSL-1.0 STATIC_LINK)
sbom(protozero ${protozero_version} BSD-2-Clause STATIC_LINK)
sbom(nlohmann-json ${nlohmann_json_VERSION} MIT STATIC_LINK)
sbom(CLI11 ${CLI11_VERSION} BSD-3-Clause STATIC_LINK)
sbom(WMM2025-coefficients 2025.0 LicenseRef-public-domain STATIC_LINK)
sbom(GEOS ${geos_version} LGPL-2.1-or-later DYNAMIC_LINK)
sbom(GeographicLib ${geographiclib_version} MIT DYNAMIC_LINK)
sbom(pugixml ${pugixml_VERSION} MIT DYNAMIC_LINK)
sbom(fmt ${fmt_VERSION} MIT DYNAMIC_LINK)
sbom(zlib ${ZLIB_VERSION_STRING} Zlib DYNAMIC_LINK)
sbom(bzip2 ${BZIP2_VERSION_STRING} bzip2-1.0.6 DYNAMIC_LINK)
sbom(expat ${EXPAT_VERSION_STRING} MIT DYNAMIC_LINK)
sbom(lz4 ${lz4_version} BSD-2-Clause DYNAMIC_LINK)
sbom(zstd ${zstd_version} BSD-3-Clause DYNAMIC_LINK)
if(JEMALLOC_LIBRARY)
  sbom(jemalloc ${jemalloc_version} BSD-2-Clause DYNAMIC_LINK)
endif()
if(GDAL_FOUND)
  sbom(GDAL ${GDAL_VERSION} MIT OPTIONAL)
endif()
string(APPEND SBOM_PACKAGES "\nLicenseID: LicenseRef-public-domain\n"
  "ExtractedText: <text>Produced by NOAA NCEI and the British Geological Survey; in the public domain.</text>\n")

# The day of the last commit, so that two builds of one version are the same.
string(TIMESTAMP SBOM_CREATED "%Y-%m-%dT%H:%M:%SZ" UTC)
execute_process(COMMAND git -C ${PROJECT_SOURCE_DIR} log -1 --format=%cd --date=format-local:%Y-%m-%dT%H:%M:%SZ
                OUTPUT_VARIABLE last_commit OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET)
if(last_commit)
  set(SBOM_CREATED ${last_commit})
endif()
configure_file(${PROJECT_SOURCE_DIR}/docs/waywarden.spdx.in ${PROJECT_BINARY_DIR}/waywarden.spdx @ONLY)
