// Results read back, for comparing, collecting, accepting and deciding. What is read, written and read again
// is the same.
#include "fuzz/fuzz.hpp"
#include "report/merge.hpp"
#include "report/result_reader.hpp"
#include "report/write.hpp"

#include <sstream>

namespace waywarden::fuzz {

namespace {

std::string json_of(const Assessment& assessment) {
    std::ostringstream out;
    report::write_json(assessment, out);
    return out.str();
}

} // namespace

void target(std::string_view bytes) {
    const report::Result result = report::read_result(file_with(bytes, ".json"), true);
    for (const Assessed& route : result.assessment.routes)
        must(route.verdict == rules::verdict_of(route.findings), "a verdict that its findings do not give");
    const std::string text = json_of(result.assessment);
    const report::Result again =
        must_read([&] { return report::read_result(file_with(text, ".again.json"), true); },
                  "a result that was written cannot be read:");
    must(json_of(again.assessment) == text, "a result read, written and read again differs:", text);
    const report::Merged merged = report::merge({result});
    must(merged.assessment.routes.size() == result.assessment.routes.size(), "collecting lost a route");
}

} // namespace waywarden::fuzz
