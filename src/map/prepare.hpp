#pragma once

#include <cstdint>
#include <functional>
#include <span>
#include <string>

namespace waywarden::map {

struct PrepareOptions {
    std::size_t memory_bytes = std::size_t{512} << 20; ///< aimed at, for the whole process; 128 MiB at least
    int threads = 2;
    std::function<void(const std::string& what, double share_done)> progress; ///< may be empty
};

struct Prepared {
    std::uint64_t nodes = 0, ways = 0, relations = 0; ///< in the extracts
    std::uint64_t kept = 0;                           ///< records written
    std::uint64_t bytes = 0;                          ///< of the file
};

/// Makes one file of extracts that `read` takes in their place, and that gives the same: what a route can
/// need of them, sorted by place. docs/prepared-map.md. Throws DataError where an extract is damaged or the
/// file cannot be written; then a file that was there is untouched.
Prepared prepare(std::span<const std::string> paths, const std::string& out, const PrepareOptions& options);

} // namespace waywarden::map
