#pragma once

#include <stdexcept>
#include <string>

/// Three kinds of failure, told apart by type; `main` alone turns them into words and an exit code.
/// Each text says which file, which line or byte where known, what is wrong, and what to do.
namespace waywarden {

/// The command line asks for something that cannot be done. Exit code 2.
struct ArgumentError : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// A file the user gave cannot be used. Exit code 2.
struct DataError : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// Our own mistake: something that must hold does not. Exit code 2, and asks for a report.
struct InternalError : std::logic_error {
    using std::logic_error::logic_error;
};

} // namespace waywarden
