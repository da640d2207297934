// Results read back, for comparing, collecting, accepting and deciding.
#include "fuzz/fuzz.hpp"
#include "report/result_reader.hpp"

namespace waywarden::fuzz {

void target(std::string_view bytes) {
    const report::Result result = report::read_result(file_with(bytes, ".json"), true);
    for (const Assessed& route : result.assessment.routes)
        must(route.verdict == rules::verdict_of(route.findings), "a verdict that its findings do not give");
}

} // namespace waywarden::fuzz
