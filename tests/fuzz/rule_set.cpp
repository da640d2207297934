// Rule files: every fault is told with file, line and pointer, and examples are run.
#include "fuzz/fuzz.hpp"
#include "rules/library.hpp"

namespace waywarden::fuzz {

void target(std::string_view bytes) {
    const std::string path = file_with(bytes, ".json");
    const auto faults = rules::validate(path);
    for (const std::string& fault : faults)
        must_be_one_line(fault);
    const std::string names[] = {path};
    bool loaded = true;
    try {
        rules::load_sets(names);
    } catch (const DataError&) {
        loaded = false;
    } catch (const ArgumentError&) {
        loaded = false;
    }
    must(loaded == faults.empty(), "validate and load differ");
}

} // namespace waywarden::fuzz
