// Files of accepted findings: what is read is written again as it was, with one more, and reads the same.
#include "report/accepted.hpp"

#include "fuzz/fuzz.hpp"

namespace waywarden::fuzz {

void target(std::string_view bytes) {
    const std::string path = file_with(bytes, ".json");
    const auto before = report::read_accepted(path);
    if (before.empty()) return;
    const std::string text = report::with_accepted(std::string(bytes), path, before.front());
    const auto after = must_read([&] { return report::read_accepted(file_with(text, ".again.json")); },
                                 "what was written cannot be read:");
    must(after.size() == before.size() + 1, "an entry was lost in writing");
    const auto alone = [&](const report::AcceptedFinding& one) {
        return report::with_accepted("", path, one);
    };
    for (std::size_t i = 0; i < before.size(); ++i)
        must(alone(after[i]) == alone(before[i]), "an entry changed that was not touched:", alone(after[i]));
    must(alone(after.back()) == alone(before.front()), "an entry is not what was written:", text);
}

} // namespace waywarden::fuzz
