#include "cli/writing.hpp"

#include "cli/terminal.hpp"
#include "error.hpp"
#include "report/output.hpp"
#include "report/write.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <iostream>
#include <set>

namespace waywarden::cli {

namespace fs = std::filesystem;

namespace {

using Writer = void (*)(const Assessment&, std::ostream&);

struct Format {
    const char* name; ///< on the command line
    const char* ending;
    Writer write;
    Writer summarise; ///< for several routes
};

void text(const Assessment& assessment, std::ostream& out) {
    report::write_text(assessment, out);
}
void summary_text(const Assessment& assessment, std::ostream& out) {
    report::write_summary_text(assessment, out);
}

constexpr std::array k_formats{
    Format{"text", "txt", text, summary_text},
    Format{"json", "json", report::write_json, report::write_json},
    Format{"sarif", "sarif", report::write_sarif, report::write_sarif},
    Format{"geojson", "geojson", report::write_geojson, report::write_geojson},
    Format{"gpx", "gpx", report::write_gpx, report::write_gpx},
    Format{"html", "html", report::write_html, report::write_summary_html},
    Format{"csv", "csv", report::write_csv, report::write_summary_csv},
};

const Format& format_of(const std::string& name) {
    std::string available;
    for (const Format& format : k_formats)
        available += (available.empty() ? "" : ", ") + std::string(format.name);
    for (const Format& format : k_formats) {
        if (name == format.name) return format;
    }
    throw ArgumentError(fmt::format("--format {}: there is no such format; there are {}", name, available));
}

/// Stems of the route files; with several routes `summary` is not given out.
std::vector<std::string> stems_for(const std::vector<std::string>& routes) {
    return report::stems(routes, routes.size() > 1 ? std::vector<std::string>{"summary"}
                                                   : std::vector<std::string>{});
}

std::string target(const std::string& folder, const std::string& stem, const Format& format) {
    return (fs::path(folder) / fmt::format("{}.{}", stem, format.ending)).string();
}

/// The same assessment of one route alone.
Assessment only(const Assessment& all, const Assessed& route) {
    Assessment out;
    out.sources = all.sources;
    out.region = route.region;
    out.party = all.party;
    out.rule_sets = all.rule_sets;
    out.date_s = all.date_s;
    out.compared = all.compared;
    out.acceptances_read = all.acceptances_read;
    out.routes = {route};
    return out;
}

} // namespace

void check_formats(const std::vector<std::string>& formats) {
    std::set<std::string> seen;
    for (const std::string& name : formats) {
        format_of(name);
        if (!seen.insert(name).second) throw ArgumentError(fmt::format("--format {}: is given twice", name));
    }
}

void check_targets(const std::vector<std::string>& routes, const std::vector<std::string>& formats,
                   const std::string& folder, const std::vector<std::string>& inputs) {
    std::vector<std::string> names = stems_for(routes);
    if (routes.size() > 1) names.emplace_back("summary");
    for (const std::string& name : names) {
        for (const std::string& format : formats) {
            const std::string path = target(folder, name, format_of(format));
            for (const std::string& input : inputs) {
                std::error_code failed;
                if (fs::equivalent(path, input, failed) && !failed)
                    throw ArgumentError(fmt::format("--out {}: the report would overwrite {}, which is read; "
                                                    "choose another folder",
                                                    folder, input));
            }
        }
    }
}

void write_to_stdout(const Assessment& assessment, const std::string& format) {
    const Format& chosen = format_of(format);
    if (chosen.write == text) {
        report::write_text(assessment, std::cout, {.colour = colour_wanted()});
    } else {
        chosen.write(assessment, std::cout);
    }
}

void make_folder(const std::string& folder) {
    std::error_code failed;
    fs::create_directories(folder, failed);
    if (!fs::is_directory(folder))
        throw DataError(fmt::format("--out {}: the folder cannot be made ({}); choose another", folder,
                                    failed ? failed.message() : "there is a file of that name"));
}

std::vector<std::string> write_to_folder(const Assessment& assessment, const std::vector<std::string>& routes,
                                         const std::vector<std::string>& formats, const std::string& folder) {
    make_folder(folder);
    std::vector<std::string> written;
    const auto put = [&](const std::string& path, const Assessment& what, Writer write) {
        report::write_whole(path, [&](std::ostream& out) { write(what, out); });
        written.push_back(path);
    };
    const std::vector<std::string> names = stems_for(routes);
    for (const std::string& name : formats) {
        const Format& format = format_of(name);
        for (const Assessed& route : assessment.routes) {
            const auto at = std::find(routes.begin(), routes.end(), route.route.path);
            if (at == routes.end())
                throw InternalError(route.route.path + ": was assessed but not asked for");
            put(target(folder, names[static_cast<std::size_t>(at - routes.begin())], format),
                only(assessment, route), format.write);
        }
        if (routes.size() > 1) put(target(folder, "summary", format), assessment, format.summarise);
    }
    return written;
}

} // namespace waywarden::cli
