#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

/// The one table of facts that rules may ask for: the rule checker, the documentation and the schemas are
/// made from it or tested against it.
namespace waywarden::survey {

enum class SubjectKind { stretch, crossing, spot, leg, route };
enum class FactType { flag, number, text, choice };

struct FactSpec {
    std::string_view name;
    std::vector<SubjectKind> kinds;
    FactType type;
    std::string_view unit;                 ///< "" where it has none
    std::vector<std::string_view> choices; ///< for FactType::choice, every value there is
    std::string_view meaning;
};

/// The whole table, sorted by name.
std::span<const FactSpec> fact_table();
const FactSpec* find_fact(std::string_view name);
const char* to_string(SubjectKind kind);
const char* to_string(FactType type);

/// A known value; an unknown fact has none.
using FactValue = std::variant<bool, double, std::string>;

/// What is known of one subject. A fact that is absent is unknown: silence is never "safe".
class Facts {
  public:
    /// Throws InternalError where the table has no such fact or the value is of another type or choice.
    void set(std::string_view name, FactValue value);
    void set_unknown(std::string_view name); ///< kept by name, so that results can show it as null
    /// The value, or none where it is unknown.
    std::optional<FactValue> get(std::string_view name) const;
    std::string text(std::string_view name, std::string_view otherwise = "") const;
    std::optional<double> number(std::string_view name) const;
    std::optional<bool> flag(std::string_view name) const;
    /// All that were set, sorted by name; an empty optional is unknown.
    const std::vector<std::pair<std::string, std::optional<FactValue>>>& all() const { return m_values; }

  private:
    std::vector<std::pair<std::string, std::optional<FactValue>>> m_values;
};

} // namespace waywarden::survey
