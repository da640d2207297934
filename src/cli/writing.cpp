#include "cli/writing.hpp"

#include "cli/terminal.hpp"
#include "error.hpp"
#include "report/output.hpp"
#include "report/write.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <functional>
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

void summary_page(const Assessment& assessment, std::ostream& out) {
    report::write_summary_html(assessment, out);
}

constexpr std::array k_formats{
    Format{"text", "txt", text, summary_text},
    Format{"json", "json", report::write_json, report::write_json},
    Format{"sarif", "sarif", report::write_sarif, report::write_sarif},
    Format{"geojson", "geojson", report::write_geojson, report::write_geojson},
    Format{"gpx", "gpx", report::write_gpx, report::write_gpx},
    Format{"html", "html", report::write_html, summary_page},
    Format{"csv", "csv", report::write_csv, report::write_summary_csv},
    Format{"legs", "legs.csv", report::write_legs_csv, report::write_legs_csv},
    Format{"card", "card.csv", report::write_card_csv, report::write_card_csv},
    Format{"team-text", "team.txt", report::write_team_text, report::write_team_text},
    Format{"team-html", "team.html", report::write_team_html, report::write_team_html},
    Format{"marshals-text", "marshals.txt", report::write_marshals_text, report::write_marshals_text},
    Format{"marshals-html", "marshals.html", report::write_marshals_html, report::write_marshals_html},
    Format{"marshals-csv", "marshals.csv", report::write_marshals_csv, report::write_marshals_csv},
    Format{"marshals-gpx", "marshals.gpx", report::write_marshals_gpx, report::write_marshals_gpx},
};

/// What is written beside the summary of a format, for several routes.
constexpr Format k_shared{"csv", "shared.csv", nullptr, report::write_shared_csv};

const Format& format_of(const std::string& name) {
    for (const Format& format : k_formats) {
        if (name == format.name) return format;
    }
    throw ArgumentError(fmt::format("--format {}: there is no such format; there are {}", name,
                                    fmt::join(format_names(), ", ")));
}

/// Stems of the route files; with several routes those of the summaries are not given out.
std::vector<std::string> stems_for(const std::vector<std::string>& routes) {
    return report::stems(routes, routes.size() > 1 ? std::vector<std::string>{"summary", "summary.shared"}
                                                   : std::vector<std::string>{});
}

std::string target(const std::string& folder, const std::string& stem, const Format& format) {
    return (fs::path(folder) / fmt::format("{}.{}", stem, format.ending)).string();
}

/// Letters that some file systems do not tell apart, as one.
std::string lower(std::string text) {
    for (char& c : text)
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    return text;
}

/// The same assessment of one route alone.
Assessment only(const Assessment& all, const Assessed& route) {
    Assessment out;
    out.sources = all.sources;
    out.region = route.region;
    out.party = all.party;
    out.walkers = all.walkers;
    out.group_size = all.group_size;
    out.step_free = all.step_free;
    out.rule_sets = all.rule_sets;
    out.date_s = all.date_s;
    out.compared = all.compared;
    out.acceptances_read = all.acceptances_read;
    out.routes = {route};
    return out;
}

} // namespace

std::vector<std::string> format_names() {
    std::vector<std::string> out;
    for (const Format& format : k_formats)
        if (std::string_view(format.name).find('-') == std::string_view::npos) // others are chosen by --for
            out.emplace_back(format.name);
    return out;
}

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
    const bool several = routes.size() > 1;
    if (several) names.emplace_back("summary");
    std::vector<std::string> paths;
    for (const std::string& format : formats) {
        for (const std::string& name : names)
            paths.push_back(target(folder, name, format_of(format)));
        if (several && format == k_shared.name) paths.push_back(target(folder, "summary", k_shared));
    }
    std::set<std::string> taken;
    for (const std::string& path : paths) {
        if (!taken.insert(lower(path)).second)
            throw ArgumentError(fmt::format("--out {}: two reports would both be written to {}; rename one "
                                            "of the route files, or ask for one format at a time",
                                            folder, path));
        for (const std::string& input : inputs) {
            std::error_code failed;
            if (fs::equivalent(path, input, failed) && !failed)
                throw ArgumentError(fmt::format("--out {}: the report would overwrite {}, which is read; "
                                                "choose another folder",
                                                folder, input));
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
    const auto put = [&](const std::string& path, const std::function<void(std::ostream&)>& write) {
        report::write_whole(path, write);
        written.push_back(path);
    };
    const std::vector<std::string> names = stems_for(routes);
    std::vector<std::string> stems; // of the routes that could be read
    for (const Assessed& route : assessment.routes) {
        const auto at = std::find(routes.begin(), routes.end(), route.route.path);
        if (at == routes.end()) throw InternalError(route.route.path + ": was assessed but not asked for");
        stems.push_back(names[static_cast<std::size_t>(at - routes.begin())]);
    }
    for (const std::string& name : formats) {
        const Format& format = format_of(name);
        for (std::size_t i = 0; i < stems.size(); ++i)
            put(target(folder, stems[i], format),
                [&](std::ostream& out) { format.write(only(assessment, assessment.routes[i]), out); });
        if (routes.size() > 1)
            put(target(folder, "summary", format), [&](std::ostream& out) {
                format.summarise == summary_page ? report::write_summary_html(assessment, stems, out)
                                                 : format.summarise(assessment, out);
            });
        if (routes.size() > 1 && name == k_shared.name)
            put(target(folder, "summary", k_shared),
                [&](std::ostream& out) { k_shared.summarise(assessment, out); });
    }
    return written;
}

} // namespace waywarden::cli
