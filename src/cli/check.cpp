#include "cli/check.hpp"

#include "cli/command.hpp"
#include "cli/date.hpp"
#include "cli/route_files.hpp"
#include "cli/terminal.hpp"
#include "cli/writing.hpp"
#include "error.hpp"
#include "report/accepted.hpp"
#include "report/compare.hpp"
#include "report/result_reader.hpp"
#include "report/words.hpp"
#include "survey/checkpoints.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iostream>
#include <memory>

namespace waywarden::cli {

namespace {

/// An option that takes one value each time it is given and leaves what follows to the routes.
CLI::Option* many(CLI::App& app, const char* name, std::vector<std::string>& to, const char* help) {
    return app.add_option(name, to, help)->type_size(1)->allow_extra_args(false);
}

/// The formats as asked for, for the reader who is meant.
std::vector<std::string> formats_for(const CheckOptions& options) {
    if (options.reader == "leader") return options.formats;
    const bool team = options.reader == "team";
    const std::vector<std::string> there = team ? std::vector<std::string>{"text", "html"}
                                                : std::vector<std::string>{"text", "html", "csv", "gpx"};
    std::vector<std::string> out;
    for (const std::string& format : options.formats) {
        if (std::find(there.begin(), there.end(), format) == there.end())
            throw ArgumentError(fmt::format("--format {}: the sheet for {} comes as {}", format,
                                            team ? "the team" : "marshals",
                                            team ? "text or html" : "text, html, csv or gpx"));
        out.push_back(fmt::format("{}-{}", options.reader, format));
    }
    return out;
}

/// The lowest level that makes a run end in 1; none for `never`.
std::optional<rules::Level> fail_level(const std::string& word) {
    if (word == "error") return rules::Level::error;
    if (word == "warning") return rules::Level::warning;
    if (word == "note") return rules::Level::note;
    return std::nullopt;
}

void warn_of_left_out(const std::vector<std::string>& left_out) {
    if (left_out.empty()) return;
    std::cerr << report::plain(fmt::format(
                     "waywarden: {} in the folder left out, not being .gpx, .geojson or .kml, the first: {}",
                     report::counted(left_out.size(), "file", "files"), left_out.front()))
              << '\n';
}

Request request_of(const CheckOptions& options, const RouteFiles& files) {
    Request request;
    request.routes = files.routes;
    request.cards = files.cards;
    request.maps = options.maps;
    request.region = options.region;
    request.party = options.party;
    request.rule_sets = options.rule_sets;
    request.date_s = options.start.empty() ? today_s() : parse_start(options.start);
    if (!options.start.empty()) request.start = geo::read_time(options.start);
    if (!options.legs.empty()) request.legs_every = survey::read_leg_spacing(options.legs);
    request.elevation = options.elevation;
    request.threads = options.jobs;
    request.map_picture = std::any_of(options.formats.begin(), options.formats.end(), [](const auto& format) {
        return format == "html" || format == "marshals-html";
    });
    request.progress = progress_line();
    return request;
}

/// What was decided or found before, read ahead of the map so that a fault in it is told at once.
struct Earlier {
    std::vector<report::AcceptedFinding> accepted;
    std::optional<report::Result> result;
};

Earlier read_earlier(const CheckOptions& options) {
    Earlier out;
    if (!options.accepted.empty()) out.accepted = report::read_accepted(options.accepted);
    if (!options.against.empty()) out.result = report::read_result(options.against, true);
    return out;
}

void apply_earlier(Assessment& assessment, const Earlier& earlier, const CheckOptions& options) {
    if (earlier.result)
        for (const std::string& one : report::compare(assessment, earlier.result->assessment))
            std::cerr << report::plain(fmt::format("waywarden: --against {}: {}", options.against, one))
                      << '\n';
    if (!options.accepted.empty())
        for (const std::string& one : report::apply_accepted(assessment, earlier.accepted))
            std::cerr << report::plain(fmt::format("waywarden: --accepted {}: {}", options.accepted, one))
                      << '\n';
}

} // namespace

int exit_code(const Assessment& assessment, const std::string& fail_on) {
    int code = assessment.not_read.empty() ? k_assessed : k_not_usable;
    const auto level = fail_level(fail_on);
    for (const Assessed& route : assessment.routes) {
        if (route.verdict == rules::Verdict::cannot_vouch) code = std::max(code, k_not_vouched);
        const bool objected =
            level && std::any_of(route.findings.begin(), route.findings.end(),
                                 [&](const rules::Finding& f) { return !f.accepted && f.level >= *level; });
        if (objected) code = std::max(code, k_objected);
    }
    return code;
}

int check(const CheckOptions& given) {
    CheckOptions options = given;
    check_formats(given.formats);
    options.formats = formats_for(given);
    if (options.out.empty() && options.formats.size() > 1)
        throw ArgumentError("--format: standard output takes one format; add --out DIR for several");
    const RouteFiles files = route_files(options.routes, options.card);
    const std::vector<std::string>& routes = files.routes;
    if (!options.out.empty()) {
        std::vector<std::string> inputs = routes;
        for (const auto& more : {options.maps,
                                 options.rule_sets,
                                 files.cards,
                                 {options.party, options.accepted, options.against}})
            inputs.insert(inputs.end(), more.begin(), more.end());
        check_targets(routes, options.formats, options.out, inputs);
    }
    const Earlier earlier = read_earlier(options);
    Assessment assessment;
    {
        const Request request = request_of(options, files);
        assessment = assess(request);
    }
    apply_earlier(assessment, earlier, options);
    warn_of_left_out(files.left_out);
    for (const NotRead& one : assessment.not_read)
        std::cerr << "waywarden: " << report::plain(one.why) << '\n';
    if (options.out.empty()) {
        write_to_stdout(assessment, options.formats.front());
    } else {
        write_to_folder(assessment, routes, options.formats, options.out);
    }
    return exit_code(assessment, options.fail_on);
}

Run prepare_check(CLI::App& app) {
    const auto options = std::make_shared<CheckOptions>();
    CheckOptions& o = *options;
    app.add_option("ROUTE", o.routes,
                   "Routes (GPX, GeoJSON, KML), route cards without a line (CSV), folders of both, or -")
        ->required();
    app.add_option("--card", o.card, "The route card (CSV) of the one route given");
    many(app, "--map", o.maps, "OpenStreetMap extract (.osm.pbf, .osm, .osm.gz, .osm.bz2, .opl)")->required();
    app.add_option("--region", o.region, "Whose law and custom to presume")->capture_default_str();
    app.add_option("--party", o.party, "Who walks: a shipped name or a file")->capture_default_str();
    many(app, "--rules", o.rule_sets, "Rule set to add: a shipped name or a file");
    app.add_option(
        "--start", o.start,
        "When the walk starts (2027-05-15T09:30), by the clock there; ages are counted to it, else to today");
    app.add_option(
        "--elevation", o.elevation,
        "Heights of the ground: a raster (GeoTIFF, SRTM .hgt) or a folder of tiles; else the file's own");
    app.add_option("--legs", o.legs,
                   "Legs of even length (every=2km, 1500m or 1mi) instead of the checkpoints of the file");
    app.add_option("--accepted", o.accepted, "Findings accepted before (waywarden accept)");
    app.add_option("--against", o.against, "An earlier result to compare with: what is new, what is gone");
    many(app, "--format", o.formats,
         "text, json, sarif, geojson, gpx, html, csv, legs or card (tables of them); several with --out")
        ->default_str("text");
    app.add_option("--out", o.out, "Folder to write the reports to")
        ->check(CLI::Validator([](const std::string& s) { return s.empty() ? "names no folder" : ""; }, ""));
    app.add_option("--for", o.reader, "Who reads the report")
        ->check(CLI::IsMember({"leader", "team", "marshals"}))
        ->capture_default_str();
    app.add_option("--fail-on", o.fail_on, "The lowest level that ends in exit code 1")
        ->check(CLI::IsMember({"error", "warning", "note", "never"}))
        ->capture_default_str();
    app.add_option("--jobs", o.jobs, "Threads to use")->check(CLI::Range(1, 256))->capture_default_str();
    app.footer(
        "Exit code: 0 assessed; 1 something at or above --fail-on; 2 an argument or an input could not be\n"
        "used; 3 some of a route could not be vouched for.");
    return [options] {
        if (options->formats.empty()) options->formats = {"text"};
        return check(*options);
    };
}

} // namespace waywarden::cli
