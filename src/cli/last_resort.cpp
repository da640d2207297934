#include "cli/last_resort.hpp"

#include "cli/command.hpp"

#include <unistd.h>

#include <atomic>
#include <cstdlib>
#include <exception>
#include <new>
#include <string_view>

namespace waywarden::cli {

namespace {

/// Asks for no memory, takes no lock, and lets only the first of several threads speak.
[[noreturn]] void end_with(std::string_view line) {
    static std::atomic_flag spoken;
    if (spoken.test_and_set())
        for (;;)
            ::pause();
    // Where even this cannot be written there is nobody left to tell.
    [[maybe_unused]] const auto written = ::write(STDERR_FILENO, line.data(), line.size());
    std::quick_exit(k_not_usable);
}

[[noreturn]] void end_without_memory() {
    end_with("waywarden: there is not enough memory for this map and these routes; use a smaller extract\n");
}

[[noreturn]] void end_of_order() {
    end_with("waywarden: a mistake of waywarden itself, or too little memory; please report it with the "
             "command and the files that led to it\n");
}

} // namespace

void end_in_words() {
    std::set_new_handler(end_without_memory);
    std::set_terminate(end_of_order);
}

} // namespace waywarden::cli
