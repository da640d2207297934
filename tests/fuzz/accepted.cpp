// Files of accepted findings.
#include "report/accepted.hpp"

#include "fuzz/fuzz.hpp"

namespace waywarden::fuzz {

void target(std::string_view bytes) {
    const std::string path = file_with(bytes, ".json");
    const auto before = report::read_accepted(path);
    if (before.empty()) return;
    // What is written again with one more is read again with one more.
    const std::string text = report::with_accepted(std::string(bytes), path, before.front());
    must(report::read_accepted(file_with(text, ".again.json")).size() == before.size() + 1,
         "an entry was lost in writing");
}

} // namespace waywarden::fuzz
