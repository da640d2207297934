// Party files: what is read, written as a file and read again is the same party.
#include "fuzz/fuzz.hpp"
#include "rules/setting.hpp"

#include <nlohmann/json.hpp>

namespace waywarden::fuzz {

void target(std::string_view bytes) {
    const rules::Party party = rules::load_party(file_with(bytes, ".json"));
    nlohmann::json who = nlohmann::json::object();
    for (const auto& [name, value] : party.values)
        std::visit([&, &key = name](const auto& known) { who[key] = known; }, value);
    const nlohmann::json whole{{"format", "waywarden-party"}, {"version", 1}, {"name", party.name},
                               {"title", party.title},        {"who", who},   {"rule_sets", party.rule_sets}};
    const std::string text = whole.dump();
    const rules::Party again = must_read([&] { return rules::load_party(file_with(text, ".again.json")); },
                                         "a party that was written cannot be read:");
    must(again.name == party.name && again.title == party.title && again.values == party.values &&
             again.rule_sets == party.rule_sets,
         "a party read, written and read again differs:", text);
    rules::effort_of(party);
}

} // namespace waywarden::fuzz
