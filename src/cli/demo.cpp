#include "cli/check.hpp"
#include "cli/command.hpp"
#include "cli/route_files.hpp"
#include "error.hpp"
#include "region/region.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <iostream>
#include <memory>

namespace waywarden::cli {

namespace fs = std::filesystem;

namespace {

/// Where the invented island is: beside the installed rules, or in the source tree.
fs::path example_folder() {
    const fs::path data = region::data_folder();
    for (const fs::path& folder : {data / "example", data.parent_path() / "fixtures"})
        if (fs::is_directory(folder / "routes")) return folder;
    throw DataError(
        fmt::format("{}: the example is not there; install the program whole", (data / "example").string()));
}

std::string map_in(const fs::path& folder) {
    for (const char* name : {"island.osm.pbf", "island.osm"})
        if (fs::exists(folder / name)) return (folder / name).string();
    throw DataError(
        fmt::format("{}: the example's map is not there; install the program whole", folder.string()));
}

/// Short where the example lies below the folder one is in.
std::string shown(const fs::path& path) {
    const fs::path relative = path.lexically_proximate(fs::current_path());
    return relative.begin() != relative.end() && *relative.begin() == ".." ? path.string()
                                                                           : relative.string();
}

int demo(const std::string& out) {
    const fs::path example = example_folder();
    CheckOptions options;
    options.routes = route_files({shown(example / "routes")}, "").routes;
    options.maps = {shown(map_in(example))};
    options.region = "england"; // as the island is tagged; it lies in no region
    options.start = "2026-12-05";
    options.formats = {"text", "json", "html", "sarif", "geojson", "gpx", "csv"};
    options.out = out;
    options.fail_on = "never";
    const int code = check(options); // what it finds is shown, and is no failure of the demonstration
    if (code == k_not_usable) return code;
    const fs::path summary = fs::path(out) / "summary";
    std::cout << fmt::format(
        "Three walks on an invented island were checked; two of them have mistakes in them on purpose.\n"
        "Every report is in {0} as text, page, table, result and in the open formats.\n"
        "Read first: {1}.txt, or open {1}.html\n",
        out, summary.string());
    return k_assessed;
}

} // namespace

Run prepare_demo(CLI::App& app) {
    const auto out = std::make_shared<std::string>("waywarden-demo");
    app.add_option("DIR", *out, "Folder to write the reports to")->capture_default_str();
    return [out] { return demo(*out); };
}

} // namespace waywarden::cli
