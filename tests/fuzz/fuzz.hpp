#pragma once

#include "error.hpp"

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <string>
#include <string_view>

/// What every target shares. A target is a file with one function `target(bytes)`; it may throw ArgumentError
/// and DataError, in which case their text must be one line; anything else thrown, a crash, a hang, memory
/// out of bounds or a broken promise (`must`) is a find. The same file links with libFuzzer or with
/// replay_main.cpp, which runs it over files.
namespace waywarden::fuzz {

void target(std::string_view bytes);

/// An oracle: ends the process where something that must hold does not.
inline void must(bool holds, const char* what, std::string_view more = "") {
    if (holds) return;
    std::fprintf(stderr, "broken promise: %s %.*s\n", what, static_cast<int>(more.size()), more.data());
    std::abort();
}

/// Messages for people are one line of text.
inline void must_be_one_line(std::string_view message) {
    must(!message.empty(), "a message says nothing");
    must(message.find('\n') == std::string_view::npos, "a message has several lines:", message);
}

/// What `read` gives; an oracle for what the program wrote itself and must be able to read.
template <class Read> auto must_read(Read&& read, const char* what) {
    try {
        return read();
    } catch (const std::exception& e) {
        must(false, what, e.what());
        throw;
    }
}

inline void run(std::string_view bytes) {
    try {
        target(bytes);
    } catch (const ArgumentError& e) {
        must_be_one_line(e.what());
    } catch (const DataError& e) {
        must_be_one_line(e.what());
    }
}

/// A file of this process alone that holds the bytes, for readers that take a path; overwritten each time.
std::string file_with(std::string_view bytes, const char* ending);

/// Where file_with() puts it.
std::string file_path(const char* ending);

} // namespace waywarden::fuzz
