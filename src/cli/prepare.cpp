#include "map/prepare.hpp"

#include "cli/command.hpp"
#include "cli/terminal.hpp"
#include "error.hpp"
#include "report/words.hpp"

#include <fmt/format.h>

#include <charconv>
#include <iostream>
#include <memory>

namespace waywarden::cli {

namespace {

struct Options {
    std::vector<std::string> extracts;
    std::string out;
    std::string memory = "512M";
    int jobs = 2;
};

/// "700M", "2G", "1.5GiB": powers of 1024.
std::size_t bytes_of(const std::string& size) {
    double number = 0;
    const char* end = size.data() + size.size();
    const auto [at, error] = std::from_chars(size.data(), end, number, std::chars_format::fixed);
    const std::string unit(at, end);
    const double factor = unit == "M" || unit == "MiB" ? 1 << 20 : unit == "G" || unit == "GiB" ? 1 << 30 : 0;
    const double bytes = number * factor;
    if (error != std::errc() || factor == 0 || bytes < 1 << 27 || bytes > 1e15)
        throw ArgumentError(
            fmt::format("--memory {}: is no size such as 512M or 2G, of 128M at least", size));
    return static_cast<std::size_t>(bytes);
}

int prepare_map(const Options& options) {
    map::PrepareOptions how;
    how.memory_bytes = bytes_of(options.memory);
    how.threads = options.jobs;
    how.progress = progress_line();
    const map::Prepared done = map::prepare(options.extracts, options.out, how);
    how.progress = {};
    std::cout << fmt::format(
        "{}: {:.1f} MB, from {}, {} and {}\n", options.out, static_cast<double>(done.bytes) / 1e6,
        report::counted(done.nodes, "node", "nodes"), report::counted(done.ways, "way", "ways"),
        report::counted(done.relations, "relation", "relations"));
    return k_assessed;
}

} // namespace

Run prepare_prepare(CLI::App& app) {
    const auto options = std::make_shared<Options>();
    app.add_option("EXTRACT", options->extracts, "Extracts of the map; of several the newest data count")
        ->required();
    app.add_option("-o,--out", options->out, "The file to write; name it with --map instead of the extracts")
        ->required();
    app.add_option("--memory", options->memory,
                   "Memory to aim at; what does not fit goes to disk beside the file")
        ->capture_default_str();
    app.add_option("--jobs", options->jobs, "Threads")->check(CLI::Range(1, 64))->capture_default_str();
    app.footer(
        "A prepared map gives the same results as the extracts it was made from, many times faster. It "
        "does not follow changes: prepare again when you fetch a newer extract.");
    return [options] { return prepare_map(*options); };
}

} // namespace waywarden::cli
