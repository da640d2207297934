#pragma once

#include "region/region.hpp"
#include "rules/json_text.hpp"
#include "survey/facts.hpp"
#include "survey/walking_time.hpp"

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

/// Who walks, and in which country: what conditions may compare facts with.
namespace waywarden::rules {

/// A value a rule may name with {"party": …} or {"region": …}.
struct SettingSpec {
    std::string_view name;
    survey::FactType type; ///< flag, number or text
    std::string_view unit;
    std::string_view meaning;
};
std::span<const SettingSpec> party_table();
std::span<const SettingSpec> region_table();

enum class Source { fact, party, region };
const char* to_string(Source source);

/// The values known; one that is absent is unknown.
struct Setting {
    std::map<std::string, survey::FactValue, std::less<>> party, region;
    std::optional<survey::FactValue> get(Source source, std::string_view name) const;
};

std::map<std::string, survey::FactValue, std::less<>> region_values(const region::Region& region);

/// A party as its file says. Format: docs/writing-rules.md.
struct Party {
    std::string name, title;
    std::map<std::string, survey::FactValue, std::less<>> values;
    std::vector<std::string> rule_sets; ///< beside walking-core
};

/// A shipped name or a file. Throws ArgumentError (no such party; names those there are) or DataError.
Party load_party(const std::string& name_or_file);

/// How the party walks; nothing where what its method needs (its own: pace and climb; rests) is not said.
std::optional<survey::Effort> effort_of(const Party& party);

/// The values an example or a party file gives, checked against the table; null is left out: unknown.
std::map<std::string, survey::FactValue, std::less<>> read_settings(const Value& object,
                                                                    std::span<const SettingSpec> table);

/// A JSON value as a fact of this type; refuses any other.
survey::FactValue read_fact_value(const Value& value, survey::FactType type,
                                  const std::vector<std::string_view>& choices);

/// Where a name leads: a text with a slash or that ends in .json is a file as it stands, relative to `beside`
/// where that is not empty; any other is FOLDER/NAME.json of the shipped data. Throws ArgumentError where
/// there is none.
std::string find_file(const std::string& name_or_file, const std::string& folder, const std::string& what,
                      const std::string& beside = "");

/// The names of the shipped files of a folder: "sets" or "parties".
std::vector<std::string> shipped(const std::string& folder);

} // namespace waywarden::rules
