#include "cli/check.hpp"
#include "cli/command.hpp"
#include "cli/writing.hpp"
#include "error.hpp"
#include "report/merge.hpp"
#include "report/output.hpp"
#include "report/write.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <memory>

namespace waywarden::cli {

namespace fs = std::filesystem;

namespace {

struct CollectOptions {
    std::vector<std::string> results;
    std::string out, fail_on = "error";
};

void refuse_overwriting(const CollectOptions& options) {
    for (const char* name : {"summary.json", "summary.csv", "summary.shared.csv", "summary.txt"})
        for (const std::string& input : options.results) {
            std::error_code failed;
            if (fs::equivalent(fs::path(options.out) / name, input, failed) && !failed)
                throw ArgumentError(
                    fmt::format("--out {}: the summary would overwrite {}, which is read; choose another "
                                "folder",
                                options.out, input));
        }
}

int collect(const CollectOptions& options) {
    refuse_overwriting(options);
    std::vector<report::Result> results;
    for (const std::string& path : options.results)
        results.push_back(report::read_result(path));
    const report::Merged merged = report::merge(results);
    make_folder(options.out);
    const auto put = [&](const char* name, const std::function<void(std::ostream&)>& write) {
        report::write_whole((fs::path(options.out) / name).string(), write);
    };
    put("summary.json", [&](std::ostream& out) { out << merged.json; });
    put("summary.csv", [&](std::ostream& out) { report::write_summary_csv(merged.assessment, out); });
    put("summary.shared.csv", [&](std::ostream& out) { report::write_shared_csv(merged.assessment, out); });
    put("summary.txt", [&](std::ostream& out) { report::write_summary_text(merged.assessment, out); });
    return exit_code(merged.assessment, options.fail_on);
}

} // namespace

Run prepare_collect(CLI::App& app) {
    const auto options = std::make_shared<CollectOptions>();
    app.add_option("RESULT", options->results, "Results of checks (--format json)")->required();
    app.add_option("--out", options->out,
                   "Folder for summary.json, summary.csv, summary.shared.csv and summary.txt")
        ->required();
    app.add_option("--fail-on", options->fail_on, "The lowest level that ends in exit code 1")
        ->check(CLI::IsMember({"error", "warning", "note", "never"}))
        ->capture_default_str();
    app.footer(
        "The summary is the same, byte for byte, as that of one run over all the routes in this order.");
    return [options] { return collect(*options); };
}

} // namespace waywarden::cli
