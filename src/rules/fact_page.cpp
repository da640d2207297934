#include "rules/fact_page.hpp"

#include "rules/setting.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace waywarden::rules {

namespace {

using survey::FactSpec;
using survey::SubjectKind;

std::string row(std::string_view name, survey::FactType type, std::string_view unit,
                std::string_view meaning) {
    return fmt::format("| `{}` | {} | {} | {} |\n", name, to_string(type), unit.empty() ? "–" : unit,
                       meaning);
}

std::string facts_of(SubjectKind kind) {
    std::string out = "| fact | type | unit | meaning |\n|---|---|---|---|\n";
    for (const FactSpec& spec : survey::fact_table())
        if (std::find(spec.kinds.begin(), spec.kinds.end(), kind) != spec.kinds.end())
            out += row(spec.name, spec.type, spec.unit, spec.meaning);
    return out;
}

std::string settings(std::span<const SettingSpec> table) {
    std::string out = "| value | type | unit | meaning |\n|---|---|---|---|\n";
    for (const SettingSpec& spec : table)
        out += row(spec.name, spec.type, spec.unit, spec.meaning);
    return out;
}

} // namespace

std::string fact_page() {
    std::string out =
        "# Facts that rules may ask for\n\n"
        "Made from the table in `src/survey/facts.cpp`; do not edit it here. A fact that the map does not "
        "tell is unknown, never \"safe\". How to use them: [writing-rules.md](writing-rules.md).\n";
    for (const auto& [kind, title] :
         {std::pair{SubjectKind::stretch, "A stretch: a piece of the walk on one way, or over open ground"},
          {SubjectKind::crossing, "A crossing: something that the walk gets across"},
          {SubjectKind::spot,
           "A spot: a point or an area on or beside the route, or something odd about the line"},
          {SubjectKind::leg, "A leg: from one checkpoint to the next"},
          {SubjectKind::route, "The route as a whole"}})
        out += fmt::format("\n## {}\n\n`\"about\": \"{}\"`\n\n{}", title, to_string(kind), facts_of(kind));
    out += "\n## Choices\n\nEvery value there is.\n\n";
    for (const FactSpec& spec : survey::fact_table())
        if (!spec.choices.empty())
            out += fmt::format("- `{}`: {}\n", spec.name, fmt::join(spec.choices, ", "));
    out += "\n## Values of the party: `{\"party\": \"…\"}`\n\n" + settings(party_table());
    out += "\n## Values of the region: `{\"region\": \"…\"}`\n\n" + settings(region_table());
    return out;
}

} // namespace waywarden::rules
