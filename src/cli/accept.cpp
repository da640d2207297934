#include "cli/command.hpp"
#include "cli/date.hpp"
#include "cli/pick_finding.hpp"
#include "error.hpp"
#include "report/accepted.hpp"
#include "report/output.hpp"
#include "report/words.hpp"
#include "rules/json_text.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <unistd.h>

#include <filesystem>
#include <iostream>
#include <memory>

namespace waywarden::cli {

namespace fs = std::filesystem;

namespace {

struct AcceptOptions {
    std::string result, finding, by, why, until, out;
};

/// Holds a folder while a file in it is read, added to and replaced, so that of two runs at once none is
/// lost.
class FolderLock {
  public:
    explicit FolderLock(const fs::path& folder)
        : m_folder(::open(folder.empty() ? "." : folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)) {
        if (m_folder >= 0) ::flock(m_folder, LOCK_EX);
    }
    FolderLock(const FolderLock&) = delete;
    FolderLock& operator=(const FolderLock&) = delete;
    ~FolderLock() {
        if (m_folder >= 0) ::close(m_folder);
    }

  private:
    int m_folder;
};

void refuse_empty(const char* option, const std::string& text) {
    if (text.find_first_not_of(" \t\r\n") == std::string::npos)
        throw ArgumentError(fmt::format("{}: is empty; say it in words", option));
}

/// The last day, checked against the day the walk was judged for.
void check_until(const std::string& until, const report::Result& result) {
    if (parse_day("--until", until) + 86400 <= result.assessment.date_s)
        throw ArgumentError(
            fmt::format("--until {}: lies before {}, for which the result was made; it would never "
                        "count",
                        until, report::iso_time(result.assessment.date_s).substr(0, 10)));
}

int accept(const AcceptOptions& options) {
    refuse_empty("--by", options.by);
    refuse_empty("--why", options.why);
    const report::Result result = report::read_result(options.result);
    check_until(options.until, result);
    const Picked picked = pick_finding(result, options.finding);
    if (picked.finding->blocks_vouching)
        throw ArgumentError(
            fmt::format("{}: \"{}\" cannot be accepted: what could not be checked cannot be vouched "
                        "for; put it right and check again",
                        options.finding, picked.finding->title));
    report::AcceptedFinding one;
    one.finding = *picked.finding;
    one.route = picked.route->route.name;
    one.party = result.assessment.party;
    one.acceptance = {options.by, options.why, options.until};
    one.on = report::iso_time(today_s()).substr(0, 10);
    one.tool_version = result.tool_version;
    one.result_sha256 = result.sha256;

    const FolderLock lock(fs::path(options.out).parent_path());
    const std::string old = fs::exists(options.out) ? rules::read_text(options.out) : "";
    if (fs::exists(options.out) && old.empty())
        throw DataError(options.out +
                        ": is empty, and no file of accepted findings; remove it or name another");
    const std::string text = report::with_accepted(old, options.out, one);
    report::write_whole(options.out, [&](std::ostream& out) { out << text; });
    std::cout
        << report::plain(fmt::format(
               "Accepted by {} until {}: {}, at km {} of {}. It stays in every report; it no longer counts, "
               "as long as nothing there gets worse.",
               one.acceptance.by, report::date_words(std::string_view(one.acceptance.until)),
               one.finding.title, report::km_words(one.finding.from_m), one.route))
        << '\n';
    return k_assessed;
}

} // namespace

Run prepare_accept(CLI::App& app) {
    const auto options = std::make_shared<AcceptOptions>();
    AcceptOptions& o = *options;
    app.add_option("RESULT", o.result, "Result of a check (--format json)")->required();
    app.add_option(
           "FINDING", o.finding,
           "Its number in the report, its rule where that is there once, or its fingerprint; with several "
           "routes ROUTE:NUMBER")
        ->required();
    app.add_option("--by", o.by, "Who accepts it: a role, no name is needed")->required();
    app.add_option("--why", o.why, "Why it may stand")->required();
    app.add_option("--until", o.until, "The last day it counts (2027-05-15)")->required();
    app.add_option("-o,--output", o.out, "File of accepted findings; added to where there is one")
        ->required();
    app.footer(
        "The file goes to waywarden check --accepted FILE. An accepted finding stays visible and does not\n"
        "count, unless something there gets worse. What could not be checked cannot be accepted.");
    return [options] { return accept(*options); };
}

} // namespace waywarden::cli
