// Rule files: every fault is told with file, line and pointer, and examples are run. The same JSON written
// another way has the same faults.
#include "fuzz/fuzz.hpp"
#include "rules/library.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <span>

namespace waywarden::fuzz {

namespace {

/// The ids of the rules that a file loads as; nothing where it does not load.
std::optional<std::vector<std::string>> loaded(const std::string& path) {
    const std::string names[] = {path};
    try {
        std::vector<std::string> ids;
        for (const rules::Rule& rule : rules::load_sets(names).rules)
            ids.push_back(rule.id);
        return ids;
    } catch (const DataError&) {
        return std::nullopt;
    } catch (const ArgumentError&) {
        return std::nullopt;
    }
}

/// Where an object's keys stand decides the order of what is told, and at which line.
std::vector<std::string> without_places(std::vector<std::string> faults) {
    for (std::string& fault : faults)
        fault.erase(0, std::min(fault.find(": "), fault.size()));
    std::sort(faults.begin(), faults.end());
    return faults;
}

} // namespace

void target(std::string_view bytes) {
    const std::string path = file_with(bytes, ".json");
    const auto faults = rules::validate(path);
    for (const std::string& fault : faults)
        must_be_one_line(fault);
    const auto ids = loaded(path);
    must(ids.has_value() == faults.empty(), "validate and load differ");
    if (!ids) return;
    const std::string again = file_with(nlohmann::json::parse(bytes).dump(3), ".json");
    must(without_places(rules::validate(again)) == without_places(faults) && loaded(again) == ids,
         "the same rules written another way are read otherwise");
}

} // namespace waywarden::fuzz
